package words

var englishMan = ManWords{
	Section:       "Bordon's manual",
	Name:          "Name",
	Synopsis:      "Synopsis",
	About:         "Description",
	Commands:      "Commands",
	Options:       "Options",
	Examples:      "Examples",
	Command:       "command",
	Usage:         "flags",
	GlobalOptions: "Options of every command",
	Lines:         "Lines",
	LinesText: `
A line names beats and what each asks for, a beat, a colon and a note as it is
fingered; with a cejilla the frets count from there.

  8:A2        the note A2, in scientific pitch notation
  8:2  8:b3   a degree of the key; the last one is the lowest that can be
              played, each before it the nearest to the one after it; 5' is an
              octave higher, 5, an octave lower
  8:4|6       one of several
  7:scale     any note of the key
  8:chord     any note of the chord that sounds
  9+1/2:C#3   half a beat after beat 9
  2/7:B2      beat 7 of the line's second turn

--line takes a name as well: best, best-2 and so on are what the key offers, usual
is the form's. Without it the best line of the key is asked for. Lines of your own
are text in files NAME.lines, several in one if you like:

  # The walks of the evening: # begins a comment.
  line    first-walk        # small letters, digits and hyphens
  title   the walk at home  # all but line and play may be left out
  form    alegrias          # left out, it fits any form
  key     G                 # needed for notes, not for degrees
  play    7:B2 8:A2 9:F#2   # beats and what each asks for
  play    10:G2             # and more of it
  chords  3:5+7 10:1        # from a beat on, the chord; +7, its seventh
  exact                     # repeats and ornaments are extra notes too
  held    8:5/0 9:6/2/2     # where: string, fret, and a finger, 1 to 4

What is wrong in a file is told with its line and column.`,
	Forms: "Forms",
	FormsText: `
The forms are alegrias (with the sections compas, escobilla and silencio), solea,
bulerias, bulerias/en-siete, seguiriyas, tangos, fandangos, and free:8, with any
number of beats to 64. A section in the parallel minor is asked for by the key of
the whole. Seguiriyas have five beats of 2, 2, 3, 3 and 2 eighths, and their tempo
counts the eighths. The accents of alegrias, solea, bulerias/en-siete, seguiriyas
and fandangos are those of Díaz-Báñez, Farigu, Gómez, Rappaport and Toussaint, "El
compás flamenco: a phylogenetic analysis", BRIDGES 2004; the others, the chords
and the usual lines are common practice, no source.

A form of your own is a text file NAME.form and goes by that name:

  # An invented rumba.
  form     rumba
  title    rumba lenta
  beats    4
  counted  1 2 3 4            # said aloud; left out, the numbers
  accents  2 4
  tempo    110                # a usual one
  chords   1:5+7 3:1          # from a beat on, the chord on a degree
  phrygian-chords  1:2 3:1    # the same in a Phrygian key
  line     1:3 2:7 3:1        # the usual line, by degree
  minor-line     1:3 2:#7 3:1
  phrygian-line  1:3 2:2 3:1
  runs     1-3                # a line begins and lands there
  source   common practice, no source

  section  cierre             # rumba/cierre: what differs from the form
  key      parallel-minor
  accents                     # none

"lengths 2 2 3 3 2" and "unit eighths" give beats of unequal lengths.`,
	Verdicts: "Verdicts",
	VerdictsText: `
  right         the note that was asked for, or one that the line accepts
  octave        its name, in another octave
  in-scale      another note of the key's scale
  out-of-scale  a note foreign to it
  missing       no bass note was heard
  unsure        something sounded that cannot be sworn to; it counts neither for
                nor against
  strummed      the turn had no thumb line, so it is not judged

A note is early or late where it is further from its beat than the tolerance:
learning, the smaller of 60 ms and 15 % of a beat, or performing, 30 ms and 8 %,
widened by what the ear itself errs. Live that can only be said where the delay of
the devices is known. A turn that the end cuts off is not judged.`,
	Status: "Exit status",
	StatusText: `
  0  done
  1  it could not be done, or not all of it; one sentence on standard error says
     what to do about it
  2  wrong usage

Data goes to standard output, talk to standard error.`,
	Environment: "Environment",
	EnvironmentText: `
  LC_ALL, LC_MESSAGES, LANG         the locale, which says the language
  NO_COLOR                          set, there are no colours; nothing is said by
                                    colour alone
  XDG_CONFIG_HOME, XDG_DATA_HOME    where what was set up and the takes are`,
	Files: "Files",
	FilesText: `
  $XDG_CONFIG_HOME/bordon/config.toml   what was set up; language = "es" and
                                        note_names = "solfeo" say how it speaks
  $XDG_CONFIG_HOME/bordon/lines/        lines of your own
  $XDG_CONFIG_HOME/bordon/forms/        forms of your own
  $XDG_DATA_HOME/bordon/takes/          the takes, a folder each: take.wav with the
                                        verdicts as cue points, take.json, and
                                        player.json, what you say of it

A folder of a take can be moved, zipped and opened elsewhere. In a class's folder
manifest.csv says what the names of the files do not:

  file,student,key,cejilla,tempo,first-beat,form,line
  phone.mp4,Lucia,G,3,104,1.84,alegrias,usual

Its columns can be in any order; only file must be there, and an empty cell is left
to the name, lucia-G-cejilla3-104-first1.84.m4a: the student first, the rest in any
order.`,
	Cautions: "Take care",
	Licence:  "Licence",
	LicenceText: `
MIT. The music signs on sheets are outlines of the font Bravura, under the SIL Open
Font License 1.1. The licences of the libraries inside are in the file NOTICES.`,
}
