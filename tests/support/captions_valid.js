// Holds WebVTT to the standard with the W3C's own parser: the folder of its package, then the folder of files. Prints one JSON
// object: by file name, what is wrong with it. Files of chapters, by their names, may hold no markup.
'use strict';
const fs = require('node:fs');
const path = require('node:path');

const [packages, folder] = process.argv.slice(2);
const own = path.join(packages, 'node_modules/webvtt-parser');
const { WebVTTParser } = require(path.join(own, 'parser.js'));
const entities = JSON.parse(fs.readFileSync(path.join(own, 'html-entities.json'), 'utf8'));

const wrong = {};
for (const name of fs.readdirSync(folder).sort()) {
    const text = fs.readFileSync(path.join(folder, name), 'utf8');
    const mode = name.endsWith('-chapters.vtt') ? 'chapters' : 'subtitles';
    const { errors } = new WebVTTParser(entities).parse(text, mode);
    wrong[name] = errors.map((error) => `${error.line}: ${error.message}`);
}
process.stdout.write(JSON.stringify(wrong));
