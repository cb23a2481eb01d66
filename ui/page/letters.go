package page

import "strings"

// The letters of the large form, made for it: five cells high, five wide but
// for the narrow ones; # is ink.
const letterHeight = 5

var letters = map[rune][letterHeight]string{
	'0': {" ### ", "#  ##", "# # #", "##  #", " ### "},
	'1': {" #", "##", " #", " #", " #"},
	'2': {"#### ", "    #", " ### ", "#    ", "#####"},
	'3': {"#### ", "    #", " ### ", "    #", "#### "},
	'4': {"#   #", "#   #", "#####", "    #", "    #"},
	'5': {"#####", "#    ", "#### ", "    #", "#### "},
	'6': {" ### ", "#    ", "#### ", "#   #", " ### "},
	'7': {"#####", "   # ", "  #  ", " #   ", " #   "},
	'8': {" ### ", "#   #", " ### ", "#   #", " ### "},
	'9': {" ### ", "#   #", " ####", "    #", " ### "},
	'A': {" ### ", "#   #", "#####", "#   #", "#   #"},
	'B': {"#### ", "#   #", "#### ", "#   #", "#### "},
	'C': {" ####", "#    ", "#    ", "#    ", " ####"},
	'D': {"#### ", "#   #", "#   #", "#   #", "#### "},
	'E': {"#####", "#    ", "#### ", "#    ", "#####"},
	'F': {"#####", "#    ", "#### ", "#    ", "#    "},
	'G': {" ####", "#    ", "#  ##", "#   #", " ####"},
	'H': {"#   #", "#   #", "#####", "#   #", "#   #"},
	'I': {"#", "#", "#", "#", "#"},
	'J': {"   ##", "    #", "    #", "#   #", " ### "},
	'K': {"#   #", "#  # ", "###  ", "#  # ", "#   #"},
	'L': {"#    ", "#    ", "#    ", "#    ", "#####"},
	'M': {"#   #", "## ##", "# # #", "#   #", "#   #"},
	'N': {"#   #", "##  #", "# # #", "#  ##", "#   #"},
	'O': {" ### ", "#   #", "#   #", "#   #", " ### "},
	'P': {"#### ", "#   #", "#### ", "#    ", "#    "},
	'Q': {" ### ", "#   #", "# # #", "#  # ", " ## #"},
	'R': {"#### ", "#   #", "#### ", "#  # ", "#   #"},
	'S': {" ####", "#    ", " ### ", "    #", "#### "},
	'T': {"#####", "  #  ", "  #  ", "  #  ", "  #  "},
	'U': {"#   #", "#   #", "#   #", "#   #", " ### "},
	'V': {"#   #", "#   #", "#   #", " # # ", "  #  "},
	'W': {"#   #", "#   #", "# # #", "## ##", "#   #"},
	'X': {"#   #", " # # ", "  #  ", " # # ", "#   #"},
	'Y': {"#   #", " # # ", "  #  ", "  #  ", "  #  "},
	'Z': {"#####", "   # ", "  #  ", " #   ", "#####"},
	'b': {"#   ", "#   ", "### ", "#  #", "### "}, // the flat
	'#': {" # # ", "#####", " # # ", "#####", " # # "},
	'?': {"#### ", "    #", "  ## ", "     ", "  #  "},
	'(': {" #", "# ", "# ", "# ", " #"},
	')': {"# ", " #", " #", " #", "# "},
	'-': {"   ", "   ", "###", "   ", "   "},
	'.': {" ", " ", " ", " ", "#"},
	',': {"  ", "  ", "  ", " #", "# "},
	'+': {"     ", "  #  ", "#####", "  #  ", "     "},
	'/': {"    #", "   # ", "  #  ", " #   ", "#    "},
	' ': {"   ", "   ", "   ", "   ", "   "},
}

// plainLetters are what accents leave of a letter.
var plainLetters = strings.NewReplacer("Á", "A", "É", "E", "Í", "I", "Ó", "O", "Ú", "U", "Ü", "U", "Ñ", "N")

// ink is what letters are made of.
const ink = "█"

// large sets a text in letters whose every cell is wide cells across and tall
// lines high. Letters are capitals; with flats, a b is the sign.
func large(text string, wide, tall int, flats bool) []string {
	var rows [letterHeight]strings.Builder
	for i, r := range []rune(text) {
		if !(flats && r == 'b') {
			r = []rune(plainLetters.Replace(strings.ToUpper(string(r))))[0]
		}
		glyph, ok := letters[r]
		if !ok {
			glyph = letters['?']
		}
		for k := range rows {
			if i > 0 {
				rows[k].WriteString(strings.Repeat(" ", wide))
			}
			for _, cell := range glyph[k] {
				s := " "
				if cell == '#' {
					s = ink
				}
				rows[k].WriteString(strings.Repeat(s, wide))
			}
		}
	}
	var lines []string
	for k := range rows {
		for range tall {
			lines = append(lines, rows[k].String())
		}
	}
	return lines
}
