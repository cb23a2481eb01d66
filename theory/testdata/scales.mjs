// Writes scales.tsv: what the @tonaljs packages say of every key, for the
// tests of package theory. The command is in the table's first line; the
// packages are looked for in the folder that it is run in.
import { createRequire } from "node:module";
import { join } from "node:path";

const require = createRequire(join(process.cwd(), "run.js"));
const packages = ["@tonaljs/scale", "@tonaljs/chord", "@tonaljs/note"];
const [Scale, Chord, Note] = packages.map((name) => require(name).default);
const versions = packages.map((name) => `${name}@${require(name + "/package.json").version}`);

// A later release of these packages names a file that it does not hold, hence --before.
const command = `npm install --before=2024-12-31 ${versions.join(" ")} && node scales.mjs > scales.tsv`;
console.log(`# ${versions.join(", ")}; made by: ${command}`);

const row = (...cells) => console.log(cells.join("\t"));
const scale = (tonic, type) => Scale.get(`${tonic} ${type}`).notes;
const chord = (tonic, type) => Chord.getChord(type, tonic).notes;
const up = (name, interval) => Note.transpose(name, interval);

// The fifteen tonics of a mode, from seven flats to seven sharps.
function tonics(first) {
  const names = [first];
  while (names.length < 15) names.push(up(names.at(-1), "5P"));
  return names;
}

row("# kind", "key", "values");
for (const t of tonics("Cb")) {
  row("scale", t, ...scale(t, "major"));
  row("tonic", t, ...chord(t, "M"));
  row("dominant", t, ...chord(up(t, "5P"), "7"));
  row("foreign", t, ...["2m", "3m", "4A", "6m", "7m"].map((i) => up(t, i)));
}
for (const t of tonics("Ab")) {
  const key = t + "m";
  row("scale", key, ...scale(t, "minor"));
  row("raised", key, scale(t, "melodic minor")[5], scale(t, "harmonic minor")[6]);
  row("tonic", key, ...chord(t, "m"));
  row("dominant", key, ...chord(up(t, "5P"), "7"));
}
for (const t of tonics("Eb")) {
  const key = t + "-phrygian";
  row("scale", key, ...scale(t, "phrygian"));
  row("raised", key, scale(t, "phrygian dominant")[2]);
  row("tonic", key, ...chord(t, "M"));
  row("second", key, ...chord(up(t, "2m"), "M"));
}
// Note numbers and frequencies in Hz at A4 = 440.
for (const letter of "CDEFGAB") {
  for (const sign of ["bb", "b", "", "#", "##"]) {
    for (const octave of [-1, 0, 2, 3, 4, 9]) {
      const name = letter + sign + octave;
      const midi = Note.midi(name);
      if (midi !== null) row("note", name, midi, Note.freq(name));
    }
  }
}
