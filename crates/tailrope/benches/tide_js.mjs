// The month and the year of tide.rs by a public tide library, for comparison. Not part of any build.
//
//     npm install --prefix <folder> @neaps/tide-predictor@0.11.0
//     node crates/tailrope/benches/tide_js.mjs <folder> crates/tailrope/tests/reference/fixtures/stations.toml
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

const [folder, pack] = process.argv.slice(2);
const library = resolve(folder, 'node_modules/@neaps/tide-predictor/dist/index.js');
const { createTidePredictor } = await import(pathToFileURL(library));
const boston = readFileSync(pack, 'utf8').split('[[station]]').find((s) => s.includes('"boston_ma"'));
const line = /^"?([A-Z0-9]+)"? = { amplitude = "([0-9.]+)m", lag = "([0-9.]+)deg" }/gm;
const constants = [...boston.matchAll(line)].map(([, name, a, g]) => ({ name, amplitude: +a, phase: +g }));

const when = (start, end) => ({ start: new Date(start), end: new Date(end) });
const month = () =>
  createTidePredictor(constants).getTimelinePrediction({
    ...when('2026-10-01T00:00Z', '2026-10-31T23:50Z'),
    timeFidelity: 600,
  });
const year = () =>
  createTidePredictor(constants).getExtremesPrediction(when('2026-01-01T00:00Z', '2027-01-01T00:00Z'));

const median = (work, times) => {
  for (let i = 0; i < 30; i++) work();
  const took = Array.from({ length: times }, () => {
    const from = process.hrtime.bigint();
    work();
    return Number(process.hrtime.bigint() - from) / 1e6;
  }).sort((a, b) => a - b);
  return `${took[times >> 1].toFixed(3)} ms (best ${took[0].toFixed(3)} ms)`;
};
console.log(`${process.version}, ${constants.length} constituents`);
console.log(`month of ${month().length} heights: ${median(month, 301)}`);
console.log(`year of ${year().length} turning points: ${median(year, 101)}`);
