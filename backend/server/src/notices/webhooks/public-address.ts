import { BlockList, isIP, isIPv4 } from 'node:net';

/**
 * Networks that are not the public internet: of the IANA IPv4 and IPv6 Special-Purpose Address Registries those that are
 * not "globally reachable", multicast, and the ranges by which an IPv4 address is written inside an IPv6 one.
 */
const networks: [network: string, prefix: number, family: 'ipv4' | 'ipv6'][] = [
  ['0.0.0.0', 8, 'ipv4'],
  ['10.0.0.0', 8, 'ipv4'],
  ['100.64.0.0', 10, 'ipv4'],
  ['127.0.0.0', 8, 'ipv4'],
  ['169.254.0.0', 16, 'ipv4'],
  ['172.16.0.0', 12, 'ipv4'],
  ['192.0.0.0', 24, 'ipv4'],
  ['192.0.2.0', 24, 'ipv4'],
  ['192.88.99.0', 24, 'ipv4'],
  ['192.168.0.0', 16, 'ipv4'],
  ['198.18.0.0', 15, 'ipv4'],
  ['198.51.100.0', 24, 'ipv4'],
  ['203.0.113.0', 24, 'ipv4'],
  ['224.0.0.0', 4, 'ipv4'],
  ['240.0.0.0', 4, 'ipv4'],
  ['::', 96, 'ipv6'], // unspecified, loopback, and IPv4-compatible
  ['::ffff:0:0', 96, 'ipv6'], // IPv4-mapped
  ['64:ff9b::', 96, 'ipv6'], // translated to IPv4
  ['64:ff9b:1::', 48, 'ipv6'],
  ['100::', 64, 'ipv6'],
  ['2001::', 23, 'ipv6'], // protocol assignments, Teredo among them
  ['2001:db8::', 32, 'ipv6'],
  ['2002::', 16, 'ipv6'], // 6to4
  ['3fff::', 20, 'ipv6'],
  ['5f00::', 16, 'ipv6'],
  ['fc00::', 7, 'ipv6'],
  ['fe80::', 10, 'ipv6'],
  ['fec0::', 10, 'ipv6'],
  ['ff00::', 8, 'ipv6'],
];

/** Of its own for each family: an IPv4-mapped rule would otherwise hold for all of IPv4. */
const blocked = { ipv4: new BlockList(), ipv6: new BlockList() };
for (const [network, prefix, family] of networks) blocked[family].addSubnet(network, prefix, family);

/** Whether an IP address belongs to the public internet; what is no address does not. */
export function isPublicAddress(address: string): boolean {
  const plain = address.replace(/%.*$/, '');
  if (isIP(plain) === 0) return false;
  const family = isIPv4(plain) ? 'ipv4' : 'ipv6';
  return !blocked[family].check(plain, family);
}
