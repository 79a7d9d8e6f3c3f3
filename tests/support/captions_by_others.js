// Reads captions with the W3C's own parser of WebVTT and with another project's of SRT: the folder of their packages, then
// the folder of files. Prints one JSON object: by file name, its cues as [start, end, words], times in thousandths.
'use strict';
const fs = require('node:fs');
const path = require('node:path');

const [packages, folder] = process.argv.slice(2);
const modules = path.join(packages, 'node_modules');
const { WebVTTParser } = require(path.join(modules, 'webvtt-parser/parser.js'));
const entities = JSON.parse(fs.readFileSync(path.join(modules, 'webvtt-parser/html-entities.json'), 'utf8'));

const thousandths = (seconds) => Math.round(seconds * 1000);

function words(node) {
    if (node.type === 'text') return node.value;
    return (node.children || []).map(words).join('');
}

function webvtt(text) {
    const { cues } = new WebVTTParser(entities).parse(text);
    return cues.map((cue) => [thousandths(cue.startTime), thousandths(cue.endTime), words(cue.tree)]);
}

async function srt(text) {
    const { parseText } = await import(path.join(modules, 'media-captions/dist/prod.js'));
    const { cues } = await parseText(text, { type: 'srt' });
    return cues.map((cue) => [thousandths(cue.startTime), thousandths(cue.endTime), cue.text]);
}

(async () => {
    const read = {};
    for (const name of fs.readdirSync(folder).sort()) {
        const text = fs.readFileSync(path.join(folder, name), 'utf8');
        read[name] = name.endsWith('.srt') ? await srt(text) : webvtt(text);
    }
    process.stdout.write(JSON.stringify(read));
})();
