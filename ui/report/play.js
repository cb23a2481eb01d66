(function () {
  "use strict";
  var clips = JSON.parse(document.getElementById("sound").textContent).clips;
  var said = document.getElementById("said");
  var context = null, decoded = {}, sources = [], pressed = null, round = 0;

  function bytes(text) {
    var s = atob(text), a = new Uint8Array(s.length);
    for (var i = 0; i < s.length; i++) { a[i] = s.charCodeAt(i); }
    return a.buffer;
  }
  function buffer(name) {
    if (!name || !clips[name]) { return Promise.resolve(null); }
    if (!decoded[name]) { decoded[name] = context.decodeAudioData(bytes(clips[name])); }
    return decoded[name];
  }
  function stop() {
    round++;
    sources.forEach(function (s) { try { s.stop(); } catch (e) { /* it had ended */ } });
    sources = [];
    if (pressed) { pressed.removeAttribute("aria-pressed"); pressed = null; }
  }
  // It fades in and out, so that nothing clicks.
  function start(sound, when, from, length) {
    var source = context.createBufferSource(), gain = context.createGain();
    var end = when + Math.min(length, Math.max(sound.duration - from, 0));
    source.buffer = sound;
    gain.gain.setValueAtTime(0, when);
    gain.gain.linearRampToValueAtTime(0.8, when + 0.02);
    gain.gain.setValueAtTime(0.8, Math.max(end - 0.06, when + 0.02));
    gain.gain.linearRampToValueAtTime(0, end);
    source.connect(gain).connect(context.destination);
    source.start(when, from, end - when);
    sources.push(source);
    return end;
  }
  function play(button) {
    stop();
    if (!context) { context = new (window.AudioContext || window.webkitAudioContext)(); }
    context.resume();
    var mine = ++round, d = button.dataset;
    pressed = button;
    button.setAttribute("aria-pressed", "true");
    Promise.all([buffer(d.clip), buffer(d.asked)]).then(function (sounds) {
      if (mine !== round) { return; }
      var words = [], end = context.currentTime + 0.05, last = null;
      if (sounds[0]) { end = start(sounds[0], end, Number(d.at), Number(d.for)) + 0.25; words.push(said.dataset.played); }
      if (sounds[1]) { end = start(sounds[1], end, 0, sounds[1].duration); words.push(said.dataset.asked); }
      said.textContent = d.name + ": " + words.join(", ");
      last = sources[sources.length - 1];
      if (last) { last.onended = function () { if (mine === round) { stop(); } }; }
    }).catch(function () { said.textContent = said.dataset.failed; stop(); });
  }
  document.addEventListener("click", function (e) {
    var b = e.target.closest && e.target.closest("button[data-name]");
    if (b) { if (b === pressed) { stop(); } else { play(b); } }
  });
  document.addEventListener("keydown", function (e) { if (e.key === "Escape") { stop(); } });
})();
