// node parse.cjs FOLDER FILE: what two parsers find in a chapter file, as JSON.
const fs = require("fs");
const path = require("path");
const { createRequire } = require("module");

const [folder, file] = process.argv.slice(2);
const load = createRequire(path.join(folder, "package.json"));
const text = fs.readFileSync(file, "utf8");
const ms = (seconds) => Math.round(seconds * 1000);
const cue = (one) => ({ id: one.id, start: ms(one.startTime), end: ms(one.endTime), text: one.text });

const community = new (load("webvtt-parser").WebVTTParser)().parse(text, "chapters");

globalThis.navigator ??= { userAgent: "" }; // vtt.js looks for an old browser; Node before 21 has no navigator
const { WebVTT, VTTCue } = load("vtt.js");
const found = { cues: [], errors: [] };
const parser = new WebVTT.Parser({ VTTCue }, WebVTT.StringDecoder());
parser.oncue = (one) => found.cues.push(cue(one));
parser.onparsingerror = (error) => found.errors.push(error.message);
parser.parse(text);
parser.flush();

console.log(JSON.stringify({
  "webvtt-parser": {
    cues: community.cues.map(cue),
    errors: community.errors.map((error) => `line ${error.line}: ${error.message}`),
  },
  "vtt.js": found,
}));
