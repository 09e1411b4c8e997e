// Runs the golden lines on WASM and compares them with the file.
// Use: node ci/golden.mjs MODULE.wasm GOLDEN.txt
import { readFileSync } from 'node:fs';

const [modulePath, goldenPath] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(modulePath), {});
const { golden_len: length, golden_byte: byte } = instance.exports;
const bytes = Uint8Array.from({ length: length() }, (_, i) => byte(i));
const got = new TextDecoder().decode(bytes).trimEnd().split('\n');
const want = readFileSync(goldenPath, 'utf8').trimEnd().split('\n');

let failed = 0;
for (let i = 0; i < Math.max(got.length, want.length); i++) {
  if (got[i] !== want[i]) {
    failed++;
    console.error(`line ${i + 1}\n  native: ${want[i]}\n  wasm:   ${got[i]}`);
  }
}
console.log(`golden lines on wasm: ${want.length - failed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
