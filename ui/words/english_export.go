package words

var englishExport = ExportWords{
	Heard: "heard",
	Asked: "asked",
	Extra: "extra",
	Title: "{form}, {key}, {cejilla}",
	Plain: "{form}, {key}",
}
