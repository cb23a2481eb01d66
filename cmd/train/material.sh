#!/bin/sh
# Makes the folder of recorded instruments that the ear learns from, the same
# everywhere: cmd/train/material.sh [folder], default build/material. Needs what
# fixtures/material.sh needs, and sox, fluidsynth, fluid-soundfont-gm, freepats,
# espeak-ng.
set -eu
cd "$(dirname "$0")/../.."
out=${1:-build/material}
cache=${XDG_CACHE_HOME:-$HOME/.cache}/bordon/material
fixtures/material.sh
mkdir -p "$out/nylon-recorded"
for f in "$cache"/acoustic/*.wav; do
	sox "$f" -r 22050 "$out/nylon-recorded/$(basename "$f")" trim 0 3.5
done
cp -L /usr/share/midi/freepats/Tone_000/024_Nylon_Guitar.pat "$out/nylon.pat"
cp -L /usr/share/midi/freepats/Tone_000/025_Steel_Guitar.pat "$out/steel.pat"
go run ./cmd/train -record "$out"

# People who talk, none of them in the language or the voice that is used for
# measuring.
mkdir -p "$out/voices"
say() { # name, voice, pitch, words a minute, text
	espeak-ng -v "$2" -p "$3" -s "$4" -w "$out/voices/$1.wav" "$5"
}
i=0
for pitch in 5 25 45 65; do
	for kind in m1 m3 m7 f2; do
		i=$((i + 1))
		speed=$((110 + 13 * i))
		say "it-$i" "it+$kind" $pitch $speed "uno, due, tre, quattro, cinque, sei, sette, otto, nove, dieci. Il basso scende fino al sette, poi torna a casa."
		say "en-$i" "en-us+$kind" $pitch $speed "one, two, three, four, five, six, seven, eight, nine, ten. Once more from the top, and mind the thumb on beat eight."
		say "pt-$i" "pt+$kind" $pitch $speed "um, dois, três, quatro, cinco, seis, sete, oito, nove, dez. Outra vez, mais devagar, e ouve o polegar."
		say "fr-$i" "fr-fr+$kind" $pitch $speed "un, deux, trois, quatre, cinq, six, sept, huit, neuf, dix. Encore une fois, doucement, et écoute le pouce."
	done
done
