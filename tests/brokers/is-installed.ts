import { execFileSync } from 'node:child_process';

/** Whether this machine has Debian's Mosquitto, without which these tests are skipped. */
export const isMosquittoInstalled = (): boolean => {
  try {
    execFileSync('mosquitto', ['-h'], { stdio: 'ignore' });
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ENOENT';
  }
};
