package words

var englishReport = ReportWords{
	Title: "Take", ProgressTitle: "Progress over takes",
	Page: "The page", Score: "Score", Reasons: "What was wrong, and why", Rulings: "What you say",
	Newer: "What a newer ear says", Note: "Note", Numbers: "as numbers",
	HowTo: "Choose a note to hear it from the recording, then what was asked. Escape ends it.",
	Quiet: "Start quiet: headphones are close to the ear.",
	Play:  "play", Nothing: "not asked for",
	Turn: "turn", Beat: "beat", Week: "week of", Recently: "of late",
	AsPlayed: "as played", AsAsked: "as asked", NoPlay: "This browser cannot play it.",
	NoSound:    "The recording is not in this report.",
	Timing:     "Early or late, by beat",
	TimingDesc: "Each note by its beat and how early or late it came; a square is early or late, a ring is on time. The numbers are below it.",
	OnBeat:     "on the beat", Early: "early", Late: "late",
	DotTitle: "turn %d, beat %s: %+.1f ms",
	Tuning:   "Tuning over time, in cents", TuningDesc: "Each right note over time and its distance from concert pitch; the guitar as a whole stands %+.1f cents from it.",
	InTune:      "in tune",
	CentsTitle:  "%s at %.1f s: %+.1f cents",
	OffsetHeads: [4]string{"beat", "mean, ms", "spread, ms", "notes"},
	LastWord:    "You have the last word on every verdict; the number of the turn, the beat and what it was:",

	Formula:       "right / (judged - unsure) = {right} / ({judged} - {unsure}) = {percent} %",
	FormulaOnTime: "right and on time / (judged - unsure) = {right} / ({judged} - {unsure}) = {percent} %",

	someSound: counted{
		one:   "Of the recording one second is in this report, turns with a mistake first; of the rest only what was asked can be heard.",
		other: "Of the recording {n} seconds are in this report, turns with a mistake first; of the rest only what was asked can be heard.",
	},
	leftOut: counted{
		one:   "One turn is left out on paper, those without a mistake first.",
		other: "{n} turns are left out on paper, those without a mistake first.",
	},
}
