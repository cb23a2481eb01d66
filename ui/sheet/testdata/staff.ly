\version "2.24.0"
% Writes staff.tsv: where LilyPond puts notes on the guitar's staff in every
% key, which accidentals it prints in a bar, which way it turns stems and where
% they end, for the tests of package sheet. The command is in the table's first
% line.

#(use-modules (srfi srfi-1))

% The notes of a bar: all letters in four octaves, the guitar's and a few
% beyond, accidentals and octaves going round, each letter several times.
#(define (pitches step)
   (map (lambda (i)
          (let ((at (modulo (* i (+ 4 step)) 28)))
            (ly:make-pitch (- (quotient at 7) 2) (modulo at 7)
                           (list-ref '(0 1/2 0 -1/2 0 0 1/2) (modulo (+ i step) 7)))))
        (iota 56)))

% What stands in the table of a head: bar, signature, letter, semitones of its
% accidental, octave, place from the lowest line, semitones of the accidental
% that is printed, the stem's direction and its end.
#(define ((tell bar signature) head)
   (let* ((pitch (ly:event-property (event-cause head) 'pitch))
          (sign (ly:grob-object head 'accidental-grob #f))
          (stem (ly:grob-object head 'stem #f)))
     (format #t "~a\t~a\t~a\t~a\t~a\t~a\t~a\t~a\t~a\n"
       bar signature
       (string-ref "CDEFGAB" (ly:pitch-notename pitch))
       (inexact->exact (* 2 (ly:pitch-alteration pitch)))
       (+ 4 (ly:pitch-octave pitch))
       (+ 4 (inexact->exact (ly:grob-property head 'staff-position)))
       (if (ly:grob? sign) (inexact->exact (* 2 (ly:grob-property sign 'alteration))) "none")
       (ly:grob-property stem 'direction)
       (+ 4 (inexact->exact (round (+ (ly:grob-property stem 'stem-begin-position)
                      (* (ly:grob-property stem 'direction) (ly:grob-property stem 'length)))))))))

#(define fifth (ly:make-pitch 0 4 0))
#(define flats (ly:make-pitch 0 0 FLAT)) % the tonic of seven flats

#(define bars
   (append-map
    (lambda (signature)
      (let ((tonic (fold (lambda (i p) (ly:make-pitch 0 (modulo (+ (ly:pitch-notename p) 4) 7)
                                          (ly:pitch-alteration (ly:pitch-transpose p fifth))))
                         flats (iota (+ signature 7)))))
        (map (lambda (step)
               (let ((notes (make-sequential-music
                             (map (lambda (p) (make-music 'NoteEvent 'duration (ly:make-duration 2 0) 'pitch p)) (pitches step))))
                     (say (tell (+ (* 5 (+ signature 7)) step) signature)))
                 #{ \key $tonic \major \override NoteHead.after-line-breaking = #say #notes #}))
             '(1 5))))
    (iota 15 -7)))

#(display (string-append "# LilyPond " (lilypond-version) "; made by: lilypond --loglevel=ERROR -o /tmp staff.ly > staff.tsv\n"
   "# bar\tsignature\tletter\tsemitones\toctave\tplace\tprinted\tstem\tits end\n"))

\score {
  \new Staff { \clef "treble_8" \time 56/4 \set Staff.extraNatural = ##f #(make-sequential-music bars) }
  \layout { }
}
