\version "2.24.0"
% Writes transpose.tsv: what LilyPond's \transpose makes of each key's scale in
% every other key of the mode, for the tests of package theory. The command is
% in the table's first line.

#(use-modules (srfi srfi-1))

% A pitch by its letter, A to G, and its accidentals.
#(define (name p)
   (let ((alter (round (* 2 (ly:pitch-alteration p)))))
     (string-append
      (string (string-ref "CDEFGAB" (ly:pitch-notename p)))
      (string-concatenate (make-list (inexact->exact (abs alter)) (if (negative? alter) "b" "#"))))))

% The fifteen tonics of a mode, by fifths up from the one with seven flats.
#(define fifth (ly:make-pitch 0 4 0))
#(define (tonics first)
   (let loop ((p first) (n 15) (all '()))
     (if (zero? n) (reverse all)
         (loop (ly:make-pitch 0 (modulo (+ (ly:pitch-notename p) 4) 7)
                              (ly:pitch-alteration (ly:pitch-transpose p fifth)))
               (1- n) (cons p all)))))

% A mode's scale, with the notes that it has twice, on C.
#(define modes
   (list
    (list "" (ly:make-pitch 0 0 FLAT) #{ { c d e f g a b } #})
    (list "m" (ly:make-pitch 0 5 FLAT) #{ { c d es f g as a bes b } #})
    (list "-phrygian" (ly:make-pitch 0 2 FLAT) #{ { c des es e f g as bes } #})))

#(define (row . cells) (display (string-join cells "\t")) (newline))

#(begin
  (display (string-append "# LilyPond " (lilypond-version) "; made by: lilypond --loglevel=ERROR transpose.ly > transpose.tsv\n"))
  (row "# from" "to" "the scale of from, transposed")
  (for-each
   (lambda (mode)
     (let* ((suffix (first mode)) (all (tonics (second mode)))
            (on-c (third mode)) (c (ly:make-pitch 0 0 0)))
       (for-each
        (lambda (from)
          (for-each
           (lambda (to)
             (let ((home #{ \transpose $c $from $(ly:music-deep-copy on-c) #}))
               (apply row (string-append (name from) suffix) (string-append (name to) suffix)
                      (map name (music-pitches #{ \transpose $from $to $home #})))))
           all))
        all)))
   modes))
