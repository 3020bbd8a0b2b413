import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** What the simulator remembers between runs: to which moment its script is relative, and what it has sent. */
export interface SimulatorState {
  version: 1;
  seed: number;
  now_s: number;
  lastSent_s: Record<string, number>;
}

const fileName = 'simulator-state.json';

export function loadState(folder: string): SimulatorState | null {
  let text: string;
  try {
    text = readFileSync(join(folder, fileName), 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
  try {
    const state = JSON.parse(text) as SimulatorState;
    if (state.version === 1 && Number.isFinite(state.now_s) && typeof state.lastSent_s === 'object')
      return state;
  } catch {
    // A half-written file counts as none: sending again changes nothing at the receiver.
  }
  return null;
}

/** Written beside and renamed, so that a crash leaves the old file or the new one. */
export function saveState(folder: string, state: SimulatorState): void {
  mkdirSync(folder, { recursive: true });
  const path = join(folder, fileName);
  writeFileSync(`${path}.new`, JSON.stringify(state, null, 2));
  renameSync(`${path}.new`, path);
}
