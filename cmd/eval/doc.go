// Eval measures what Bordon hears and says, on rendered takes whose truth is
// known: the ear and the judgement of bordon check, decoding left out.
//
//	go run ./cmd/eval                          the whole matrix, some minutes on two cores
//	go run ./cmd/eval -quick                   one short take of each condition, in the second half
//	go run ./cmd/eval -parts                   and what each ingredient of the ear gives
//	go run ./cmd/eval -worst 5 -keep worst     and the five takes it gets most wrong, to read and to hear
//	go run ./cmd/eval -free                    takes played free: the beat and its place are to be found
//	go run ./cmd/eval -free -condition rubato -half tuned -worst 5
//	go run ./cmd/eval -weights new.weights -condition 'laptop|phone' -half tuned
//
// # The matrix
//
// Every condition changes one thing of a common base (see base): the hand, the
// texture, the room, the player, the walk. "Random" draws all of it. In each
// condition the instruments take turns. The seeds fall into two halves: weights
// and decisions may be tuned on the one and are reported on the other. An
// instrument left out of tuning plays in the second half only and is reported
// apart, as a whole. What is not installed is named and left out. The same
// arguments give the same takes and figures; only the speed is a measurement.
//
// Bass notes lie on strings 4 to 6 up to the fourth fret and what the fingers
// play on strings 1 to 3, so that "no bass under a chord" can be decided. Lines
// that go higher are reported apart and belong to no total.
//
// The truth is when each string was let go, or, on an instrument whose samples
// begin later, when the note is measured to begin.
//
// # The figures
//
//	accuracy          right words among all verdicts but unsure. The right word for a strummed turn
//	                  is strummed; for a note played early or late, right
//	coverage          verdicts that are not unsure
//	identity          bass notes that sounded, landings struck as chords apart, whose verdict heard
//	                  the note that was played; unheard counts as wrong, an unsure verdict's best
//	                  guess counts
//	accused           right notes called anything but right or unsure
//	let off           wrong or missing notes called right
//	timing accused    notes called right, let go within the tolerance, and called early or late
//	timing missed     notes called right, let go 20 ms or more beyond the tolerance, and not called
//	                  early, or late, as they were. The tolerance is that of learning; what lies
//	                  between counts for neither, for the session widens it by the ear's own 10 ms
//	extras per turn   extra notes told within 60 ms of which no note was played beside the line.
//	                  Notes beside it are planted extras, doubled notes, brushed and dragged strings
//	onset error       of the notes that count for identity and were named, from true to heard onset
//	delay             of the same notes, from the true onset to decided_s of the final verdict
//	first answer      of the same notes, from the true onset to what the first verdict with that note,
//	                  provisional or final, needed
//	shown first       of the same notes, that another note was shown before
//	worst             the condition in which a figure is worst, of those with 30 cases or more
//	strummed          played turns of which a verdict says strummed, and strummed turns of which none does
//	tuning            takes of models whose tuning is told within 3 cents at their end
//
// Confidence is set against how often the heard note was the one played, over
// verdicts with a heard note (chords apart) and extras. Note tracking is what
// MIREX and mir_eval make of the notes sworn to and extras, against the notes of
// the line and planted extras (see scoreNotes).
//
// Where nobody plays, verdicts other than missing, strummed or unsure are
// counted as sworn to.
//
// Of the ear's parts, -parts switches off one after the other, on the base and
// random conditions of the second half; "the line unknown" weighs all notes
// alike in the judgement. Speed is the best of three runs over one take.
//
// # Takes played free
//
// With -free neither tempo nor first beat is told. The takes are those of
// fixtures.DrawFree, a kind for everything that a recording from a phone may
// hold, some in rooms of their own, and recordings of something else, in which
// no compás is to be found. Each is read twice: as check reads it, and on the
// grid of the truth; aubiotrack of Debian's aubio-tools hears the same file.
//
//	beats, beats 1    F-measure within 70 ms, scored by python3-mir-eval's
//	                  mir_eval.beat.f_measure on all beats of the take. Nothing is trimmed, though
//	                  mir_eval's own evaluation drops the first five seconds. The figure of several
//	                  takes is the mean of theirs. Every beat of the form from the first in a segment
//	                  that is struck to the last is true, struck or not. Not counted are beats found
//	                  where taps count in, in a segment before its first stroke or after its last, and
//	                  after the landing on which a player ended, to the end of its turn
//	inside            the same of beats found in compás alone: what is found in speech, noodling and
//	                  silence is left out
//	accuracy          as above, a verdict being that on a note which is on the same beat of the form and
//	                  nearer than half a beat. Verdicts where no note is due count too, as wrong
//	coverage          as above, a note without a verdict counting as unsure unless its walk was broken off
//	accused           right notes called anything but right or unsure, and verdicts that accuse where no
//	                  note is due, of all right notes with a verdict
//	segments          true ones of which one that was found, and no other's, covers half. Invented are
//	                  those found that are neither true nor disputed by half
//	refused           takes in which no compás was found; of something else that is right
//	two readings      takes in which two places were too close and none was picked
//	chords accused    changes that came on their beat with the right shape and were told otherwise
//	chords let off    wrong, early and late ones called right and on their beat. A mistake of which nothing
//	                  was struck counts as none; a change that was never struck, for nothing
//	key               named as it is fingered, the cejilla told, in takes of two turns or more: of those
//	                  in a key that the form is usually played in, and of all
package main
