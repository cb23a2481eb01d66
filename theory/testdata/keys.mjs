// Writes keys.tsv: what the @tonaljs packages say of the signature, the degrees
// and the chords of every key, and of the chords that shapes hold, for the tests
// of package theory. The command is in the table's first line; the packages are
// looked for in the folder that it is run in.
import { createRequire } from "node:module";
import { join } from "node:path";

const require = createRequire(join(process.cwd(), "run.js"));
const packages = ["@tonaljs/key", "@tonaljs/scale", "@tonaljs/chord", "@tonaljs/note"];
const [Key, Scale, Chord, Note] = packages.map((name) => require(name).default);
const versions = packages.map((name) => `${name}@${require(name + "/package.json").version}`);

// A later release of these packages names a file that it does not hold, hence --before.
const command = `npm install --before=2024-12-31 ${versions.join(" ")} && node keys.mjs > keys.tsv`;
console.log(`# ${versions.join(", ")}; made by: ${command}`);

const row = (...cells) => console.log(cells.join("\t"));
const notes = (symbol) => Chord.get(symbol).notes;
const up = (name, interval) => Note.transpose(name, interval);

// The fifteen tonics of a mode, from seven flats to seven sharps.
function tonics(first) {
  const names = [first];
  while (names.length < 15) names.push(up(names.at(-1), "5P"));
  return names;
}

// The chords on the degrees of a scale: every other note of it.
const stacked = (scale, size) =>
  scale.map((_, i) => Array.from({ length: size }, (_, k) => scale[(i + 2 * k) % 7]));

function chords(key, triads, sevenths) {
  triads.forEach((tones, i) => row("triad", key, i + 1, ...tones));
  sevenths.forEach((tones, i) => row("seventh", key, i + 1, ...tones));
}

row("# kind", "key", "values");
const degrees = {
  major: { 1: "1P", b2: "2m", 2: "2M", b3: "3m", 3: "3M", 4: "4P", "#4": "4A", 5: "5P", b6: "6m", 6: "6M", b7: "7m", 7: "7M" },
  minor: { 1: "1P", b2: "2m", 2: "2M", 3: "3m", "#3": "3M", 4: "4P", "#4": "4A", 5: "5P", 6: "6m", "#6": "6M", 7: "7m", "#7": "7M" },
  phrygian: { 1: "1P", 2: "2m", "#2": "2M", 3: "3m", "#3": "3M", 4: "4P", b5: "5d", 5: "5P", 6: "6m", "#6": "6M", 7: "7m", "#7": "7M" },
};
function named(key, tonic, mode) {
  for (const [degree, interval] of Object.entries(degrees[mode])) row("degree", key, degree, up(tonic, interval));
}
for (const t of tonics("Cb")) {
  const key = Key.majorKey(t);
  row("signature", t, key.alteration);
  row("within", t, ...Scale.get(`${t} major`).notes);
  chords(t, key.triads.map(notes), key.chords.map(notes));
  named(t, t, "major");
}
for (const t of tonics("Ab")) {
  const key = Key.minorKey(t);
  row("signature", t + "m", key.alteration);
  // Both sixths and both sevenths.
  row("within", t + "m", ...new Set([...key.natural.scale, ...key.harmonic.scale, ...key.melodic.scale]));
  chords(t + "m", stacked(key.natural.scale, 3), key.natural.chords.map(notes));
  row("triad", t + "m", "5#", ...notes(`${up(t, "5P")}M`));
  row("seventh", t + "m", "5#", ...notes(key.harmonic.chords[4]));
  named(t + "m", t, "minor");
}
for (const t of tonics("Eb")) {
  const key = t + "-phrygian";
  const scale = Scale.get(`${t} phrygian`).notes;
  row("signature", key, Key.majorKey(up(t, "6m")).alteration);
  // Both thirds.
  row("within", key, ...new Set([...scale, ...Scale.get(`${t} phrygian dominant`).notes]));
  chords(key, stacked(scale, 3), stacked(scale, 4));
  row("triad", key, "1#", ...notes(`${t}M`));
  row("seventh", key, "1#", ...notes(`${t}7`));
  named(key, t, "phrygian");
}
// The chords that shapes hold, on every root that keys have, with their symbol.
for (const root of new Set([...tonics("Cb"), ...tonics("Ab"), ...tonics("Eb")])) {
  for (const quality of ["", "m", "7"]) row("chord", root + quality, ...notes(root + (quality || "M")));
}
