import { mkdtemp, readdir, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { hashOfPassword, isPassword } from '../password.js';
import { aclText, passwordText, writeMosquittoFiles } from './mosquitto-files.js';

const own = { user: 'coldrounds', password: 'ours' };
const keys = [
  { user: 'harbour.1', site: 'harbour', hash: '$7$a' },
  { user: 'harbour.2', site: 'harbour', hash: null },
  { user: 'mall.1', site: 'mall', hash: '$7$b' },
];

describe('Mosquitto’s files', () => {
  const folders: string[] = [];
  afterEach(async () => {
    for (const folder of folders.splice(0)) await rm(folder, { recursive: true });
  });
  const newFolder = async () => {
    folders.push(await mkdtemp(join(tmpdir(), 'coldrounds-keys-')));
    return folders.at(-1)!;
  };

  it('name us and each key that is valid; one that is revoked is in neither', () => {
    expect(passwordText({ user: 'coldrounds', hash: '$7$own' }, keys)).toBe(
      'coldrounds:$7$own\nharbour.1:$7$a\nmall.1:$7$b\n',
    );
    const acl = aclText(own, keys);
    expect(acl).toContain('\nuser harbour.1\ntopic write coldrounds/1/harbour/#\n');
    expect(acl).toContain('\nuser mall.1\ntopic write coldrounds/1/mall/#\n');
    expect(acl).toContain('user coldrounds\ntopic readwrite #\n');
    expect(acl).not.toContain('harbour.2');
  });

  it('are written where something has changed only, whole, and not for everybody to read', async () => {
    const folder = join(await newFolder(), 'deeper');
    const text = (name: string) => readFile(join(folder, name), 'utf8');
    expect(await writeMosquittoFiles(folder, own, keys)).toBe(true);
    const before = await text('passwords');
    expect(await isPassword('ours', /^coldrounds:(.*)$/m.exec(before)![1])).toBe(true);
    expect(await writeMosquittoFiles(folder, own, keys)).toBe(false);
    expect(await text('passwords')).toBe(before);
    expect((await stat(join(folder, 'passwords'))).mode & 0o777).toBe(0o640);
    // Another password of ours, or another key, changes them.
    expect(await writeMosquittoFiles(folder, { ...own, password: 'new' }, keys)).toBe(true);
    expect(await isPassword('new', /^coldrounds:(.*)$/m.exec(await text('passwords'))![1])).toBe(true);
    const more = { user: 'mall.2', site: 'mall', hash: await hashOfPassword('x') };
    expect(await writeMosquittoFiles(folder, { ...own, password: 'new' }, [...keys, more])).toBe(true);
    expect(await text('acl')).toContain('user mall.2');
    expect((await readdir(folder)).sort()).toEqual(['acl', 'passwords']);
  });
});
