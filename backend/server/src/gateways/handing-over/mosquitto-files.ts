import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { hashOfPassword, isPassword } from '../password.js';
import { topicsOfSite } from '../site-topics.js';
import type { HandedKey } from './handed-key.js';
import { textOf, writeWhole } from './write-whole.js';

/** Who reads all telemetry at the broker: Coldrounds itself. */
export interface OwnUser {
  user: string;
  password: string;
}

/** Mosquitto's `password_file`: ourselves, and every key that is not revoked. */
export const passwordText = (own: { user: string; hash: string }, keys: readonly HandedKey[]): string =>
  [own, ...keys]
    .filter(({ hash }) => hash !== null)
    .map(({ user, hash }) => `${user}:${hash}\n`)
    .join('');

/** Mosquitto's `acl_file`: each gateway may publish on the topics of its site. */
export const aclText = (own: { user: string }, keys: readonly HandedKey[]): string =>
  [
    '# Written by Coldrounds, again with every change of a key.\n',
    `user ${own.user}\ntopic readwrite #\ntopic read $SYS/#\n`,
    ...keys
      .filter(({ hash }) => hash !== null)
      .map(({ user, site }) => {
        const { publish, read } = topicsOfSite(site);
        const lines = [
          ...publish.map((topic) => `topic write ${topic}\n`),
          ...read.map((topic) => `topic read ${topic}\n`),
        ];
        return `\nuser ${user}\n${lines.join('')}`;
      }),
  ].join('');

/** For the owner, and for Mosquitto where it shares the folder's group. */
const mode = 0o640;

/**
 * Writes `acl` and `passwords` into a folder, in this order: Mosquitto lets nobody do anything without a line in `acl`,
 * so a key that is half there or half gone opens nothing. Returns whether anything is new.
 */
export async function writeMosquittoFiles(
  folder: string,
  own: OwnUser,
  keys: readonly HandedKey[],
): Promise<boolean> {
  const passwords = join(folder, 'passwords');
  const hash = (await ownHashIn(passwords, own)) ?? (await hashOfPassword(own.password));
  const ofAcl = await writeWhole(join(folder, 'acl'), aclText(own, keys), mode);
  const ofPasswords = await writeWhole(passwords, passwordText({ user: own.user, hash }, keys), mode);
  return ofAcl || ofPasswords;
}

/** Our own line is kept where it still fits, so that the file changes only where something has changed. */
async function ownHashIn(path: string, own: OwnUser): Promise<string | null> {
  const lines = (await textOf(path))?.split('\n') ?? [];
  const hash = lines.find((line) => line.startsWith(`${own.user}:`))?.slice(own.user.length + 1);
  return hash !== undefined && (await isPassword(own.password, hash)) ? hash : null;
}

/** Has Mosquitto read its files again; sessions and connections that are still allowed go on. */
export async function reloadMosquitto(pidFile: string): Promise<void> {
  const pid = Number((await readFile(pidFile, 'utf8')).trim());
  if (!Number.isInteger(pid) || pid <= 1) throw new Error(`${pidFile} holds no process number.`);
  process.kill(pid, 'SIGHUP');
}
