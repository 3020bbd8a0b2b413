import { describe, expect, it } from 'vitest';
import { hashOfPassword, isPassword, newGatewayPassword } from './password.js';

// COMPUTED by mosquitto_passwd of Mosquitto 2.0.11 (Debian 12): `mosquitto_passwd -b -c FILE town-hall.1 k7mq2xt-correct-horse`
const byMosquitto =
  '$7$101$SZGg5AJIpsmagKM9$I4/trkYEwXXhYGZjMTseV4Oqjs0+Q7RAI/A9g6jtkk9QdU5C76RUhsamV8/HpYmJPBQbPIOgWpzB/R3ggs06pQ==';
const password = 'k7mq2xt-correct-horse';

describe('the hash of a gateway’s password', () => {
  it('is the one that mosquitto_passwd makes with the same salt', async () => {
    expect(await hashOfPassword(password, Buffer.from('SZGg5AJIpsmagKM9', 'base64'))).toBe(byMosquitto);
  });

  it('is another one each time, and belongs to its password alone', async () => {
    const [one, other] = [await hashOfPassword(password), await hashOfPassword(password)];
    expect(one).not.toBe(other);
    expect(await isPassword(password, one)).toBe(true);
    expect(await isPassword(Buffer.from(password), byMosquitto)).toBe(true);
    for (const wrong of ['', `${password} `, password.slice(1), password.toUpperCase()])
      expect(await isPassword(wrong, byMosquitto), wrong).toBe(false);
  });

  it.each([
    ['nothing', ''],
    ['the password itself', password],
    ['another form of Mosquitto', '$6$c2FsdA==$aGFzaA=='],
    ['a hash cut short', byMosquitto.slice(0, -20)],
    ['no salt', byMosquitto.replace('SZGg5AJIpsmagKM9', '')],
    ['a hash of another length', '$7$101$SZGg5AJIpsmagKM9$AAAA'],
  ])('of a wrong form, %s, belongs to no password', async (_, hash) => {
    expect(await isPassword(password, hash)).toBe(false);
  });
});

describe('a new password of a gateway', () => {
  it('has 140 bits in letters and digits that are not taken for each other', () => {
    const made = Array.from({ length: 200 }, () => newGatewayPassword());
    for (const one of made) expect(one).toMatch(/^([abcdefghijkmnpqrstuvwxyz2-9]{7}-){3}[a-z2-9]{7}$/);
    expect(new Set(made).size).toBe(made.length);
    // Each of the 256 values of a byte gives a letter, and each of 32 letters by 8 of them.
    const counts = new Map<string, number>();
    for (let byte = 0; byte < 256; byte++) {
      const [letter] = newGatewayPassword((bytes) => Buffer.alloc(bytes, byte));
      counts.set(letter, (counts.get(letter) ?? 0) + 1);
    }
    expect(counts.size).toBe(32);
    expect([...counts.values()].every((count) => count === 8)).toBe(true);
  });
});
