import { readFileSync, readdirSync } from 'node:fs';
import http from 'node:http';

const ticks = 100;

/** CPU seconds of a process and of its children that are there now, with those that have ended. */
export function cpuOf(pid: number): number {
  const own = (id: number, withEnded: boolean): number => {
    try {
      const fields = readFileSync(`/proc/${id}/stat`, 'utf8').split(') ')[1].split(' ');
      const [user, system, endedUser, endedSystem] = fields.slice(11, 15).map(Number);
      return (user + system + (withEnded ? endedUser + endedSystem : 0)) / ticks;
    } catch {
      return 0;
    }
  };
  return own(pid, true) + childrenOf(pid).reduce((sum, child) => sum + own(child, true), 0);
}

function childrenOf(pid: number): number[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .filter((name) => {
      try {
        return readFileSync(`/proc/${name}/stat`, 'utf8').split(') ')[1].split(' ')[1] === String(pid);
      } catch {
        return false;
      }
    })
    .map(Number);
}

/** Resident memory, MB. */
export function memoryOf(pid: number): number {
  try {
    return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024;
  } catch {
    return 0;
  }
}

/** Memory of a process and its children, what they share counted once, MB. */
export function sharedMemoryOf(pid: number): number {
  const own = (id: number) => {
    try {
      return Number(/^Pss:\s+(\d+)/m.exec(readFileSync(`/proc/${id}/smaps_rollup`, 'utf8'))?.[1] ?? 0) / 1024;
    } catch {
      return 0;
    }
  };
  return [pid, ...childrenOf(pid)].reduce((sum, id) => sum + own(id), 0);
}

export function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? NaN : sorted[Math.min(sorted.length - 1, Math.ceil(q * sorted.length) - 1)];
}

export interface Answer {
  status: number;
  time_ms: number;
  /** Of the body as it came over the wire. */
  bytes: number;
}

/** Asks as a browser does, and counts what comes over the wire. */
export function ask(url: string): Promise<Answer> {
  const started = performance.now();
  return new Promise((resolve) => {
    const failed = () => resolve({ status: 0, time_ms: performance.now() - started, bytes: 0 });
    const request = http.get(
      url,
      { headers: { 'accept-encoding': 'br, gzip' }, timeout: 20_000 },
      (response) => {
        let bytes = 0;
        response.on('data', (chunk: Buffer) => (bytes += chunk.length));
        response.on('end', () =>
          resolve({ status: response.statusCode ?? 0, time_ms: performance.now() - started, bytes }),
        );
        response.on('error', failed);
      },
    );
    request.on('timeout', () => request.destroy());
    request.on('error', failed);
  });
}

/** Prints results as they are found, and remembers what was missed. */
export class Report {
  readonly missed: string[] = [];

  constructor(private readonly withBars: boolean) {}

  print(name: string, value: number, unit: string, bar?: { most?: number; least?: number }): void {
    const rounded = Number.isFinite(value) ? Number(value.toPrecision(4)) : value;
    console.log(`scale: ${name} ${rounded} ${unit}`);
    if (!this.withBars || bar === undefined) return;
    const met = value <= (bar.most ?? Infinity) && value >= (bar.least ?? -Infinity);
    if (!met) this.missed.push(`${name} is ${rounded} ${unit}, asked is ${bar.most ?? bar.least}`);
  }
}
