package words

var englishTakes = takes{
	repaired: "The take {take} had been cut short; {seconds} s of sound were saved and judged again.",
}
