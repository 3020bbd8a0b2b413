import { describe, expect, it } from 'vitest';
import { isPublicAddress } from './public-address.js';

// IANA IPv4 and IPv6 Special-Purpose Address Registries (RFC 6890); public: root name servers' published addresses.
describe('an address', () => {
  it.each([
    '127.0.0.1',
    '127.255.255.254',
    '0.0.0.0',
    '10.1.2.3',
    '100.64.0.1',
    '169.254.169.254',
    '172.16.0.1',
    '172.31.255.255',
    '192.168.1.1',
    '192.0.0.8',
    '198.18.0.1',
    '203.0.113.9',
    '224.0.0.1',
    '255.255.255.255',
    '::',
    '::1',
    '::7f00:1',
    '::ffff:127.0.0.1',
    '::ffff:a01:203',
    '64:ff9b::a01:203',
    '2002:a01:203::1',
    '2001:db8::1',
    'fc00::1',
    'fd12:3456::1',
    'fe80::1',
    'fe80::1%eth0',
    'ff02::1',
    'localhost',
    '',
  ])('%s is not of the public internet', (address) => {
    expect(isPublicAddress(address)).toBe(false);
  });

  it.each([
    '198.41.0.4',
    '172.15.255.255',
    '172.32.0.1',
    '100.128.0.1',
    '2001:503:ba3e::2:30',
    '2801:1b8:10::b',
  ])('%s is', (address) => {
    expect(isPublicAddress(address)).toBe(true);
  });
});
