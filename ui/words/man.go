package words

// ManWords are the headings of the manual page and what it says beside the help
// of the commands. In a text, lines that begin with a space are shown as they
// stand.
type ManWords struct {
	Section                        string // the manual's section of commands, 1
	Name, Synopsis, About          string
	Commands, Options, Examples    string
	Lines, LinesText               string
	Forms, FormsText               string
	Verdicts, VerdictsText         string
	Status, StatusText             string
	Environment, EnvironmentText   string
	Files, FilesText               string
	Cautions, Licence, LicenceText string
	Command, Usage, GlobalOptions  string
}

// Man are the words of the manual page.
func (l *Language) Man() ManWords { return l.man }
