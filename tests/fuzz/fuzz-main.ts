/**
 * `npm run fuzz`: a million payloads that no sender should send (`-- --count N --seed S`). Ends with 1 where a reader throws,
 * refuses without a known reason and a sentence, stores what lies outside its limits, or keeps memory.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { fuzzReaders } from './fuzz-run.js';

const { values } = parseArgs({
  args: process.argv.slice(3),
  options: { count: { type: 'string', default: '1000000' }, seed: { type: 'string', default: '271828183' } },
});
const count = Number(values.count);
const started = performance.now();
const collect = (globalThis as { gc?: () => void }).gc;
const heap_MB = () => {
  collect?.();
  return process.memoryUsage().heapUsed / 1e6;
};

const heaps: { done: number; heap_MB: number }[] = [];
const outcome = await fuzzReaders(Number(values.seed), count, (done) => {
  if (done % Math.ceil(count / 10) !== 0) return;
  heaps.push({ done, heap_MB: heap_MB() });
  const seconds = ((performance.now() - started) / 1000).toFixed(0);
  console.log(
    `${done.toLocaleString('en')} in ${seconds} s, heap ${heaps[heaps.length - 1].heap_MB.toFixed(1)} MB`,
  );
});

const seconds = (performance.now() - started) / 1000;
const { user, system } = process.cpuUsage();
console.log(
  `${((user + system) / 1e6).toFixed(0)} s of processor; ${outcome.messages.toLocaleString('en')} messages, ${outcome.rows.toLocaleString('en')} rows, ${outcome.rebirths} requests for births`,
);
for (const [reason, times] of [...outcome.reasons].sort(([, a], [, b]) => b - a))
  console.log(`  ${reason.padEnd(18)} ${times}`);
for (const [n, { topic, payload, fault }] of outcome.faults.entries()) {
  mkdirSync('data', { recursive: true });
  const file = join('data', `fuzz-${values.seed}-${n}.bin`);
  writeFileSync(file, payload);
  console.log(`FAULT on ${topic.slice(0, 80)} (${file}): ${fault}`);
}
// From the second tenth on everything that is remembered has been filled.
const grown_MB = heaps.length > 2 ? heaps[heaps.length - 1].heap_MB - heaps[1].heap_MB : 0;
const problems = [
  ...(outcome.faultCount > 0 ? [`${outcome.faultCount} faults`] : []),
  ...(grown_MB > 10 ? [`the heap grew by ${grown_MB.toFixed(1)} MB`] : []),
  ...(seconds > (600 * count) / 1e6 && count >= 1e5 ? [`it took ${seconds.toFixed(0)} s`] : []),
];
console.log(
  problems.length === 0
    ? `passed in ${seconds.toFixed(0)} s; heap ${grown_MB >= 0 ? '+' : ''}${grown_MB.toFixed(1)} MB from 20 to 100 %`
    : `FAILED: ${problems.join(', ')}`,
);
process.exit(problems.length === 0 ? 0 : 1);
