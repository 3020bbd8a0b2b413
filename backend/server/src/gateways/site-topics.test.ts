import { describe, expect, it } from 'vitest';
import { covers, coversAny, gatewayOf, topicsOfSite, userOf } from './site-topics.js';

describe('what a topic filter covers', () => {
  // MQTT 3.1.1 (OASIS), 4.7.1: the examples given there, and filters against filters.
  it.each([
    ['sport/tennis/player1/#', 'sport/tennis/player1/ranking', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/tennis/player1/#', 'sport/tennis/player2', false],
    ['sport/tennis/+', 'sport/tennis/player1', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['sport/+', 'sport', false],
    ['sport/+', 'sport/', true],
    ['+/+', '/finance', true],
    ['/+', '/finance', true],
    ['+', '/finance', false],
    ['#', '$SYS/uptime', false],
    ['+/monitor/Clients', '$SYS/monitor/Clients', false],
    ['$SYS/#', '$SYS/monitor/Clients', true],
    ['a/b/#', 'a/b/#', true],
    ['a/b/#', 'a/b/+/c', true],
    ['a/b/#', 'a/#', false],
    ['a/b/#', 'a/+/c', false],
    ['a/+/c', 'a/+/c', true],
    ['a/+/c', 'a/#', false],
    ['a/b', 'a/+', false],
    ['a/b', 'a/b/c', false],
  ])('%s, asked for %s: %s', (filter, asked, expected) => {
    expect(covers(filter, asked)).toBe(expected);
  });
});

describe('the key of a site', () => {
  const { publish, read } = topicsOfSite('town');

  it('opens the topics of this site for publishing, and no telemetry for reading', () => {
    expect(coversAny(publish, 'coldrounds/1/town/chiller-1/circuits/1')).toBe(true);
    for (const other of [
      'coldrounds/1/town-hall/chiller-1/circuits/1',
      'coldrounds/1/tow/chiller-1/water',
      'coldrounds/1/town',
      'coldrounds/1',
      'coldrounds/2/town/chiller-1/water',
      '/coldrounds/1/town/chiller-1/water',
      '$SYS/broker',
      'town',
    ])
      expect(coversAny(publish, other), other).toBe(false);
    for (const telemetry of ['#', 'coldrounds/#', 'coldrounds/1/town/#', 'spBv1.0/#', 'spBv1.0/town/NDATA/+'])
      expect(coversAny(read, telemetry), telemetry).toBe(false);
  });

  it('opens what an edge node of Sparkplug B sends and asks for in the group of its site', () => {
    // Sparkplug 3.0 (ISO/IEC 20237), chapter 4, and what an edge node subscribes to (5.4).
    for (const sent of [
      'NBIRTH/gw',
      'NDATA/gw',
      'NDEATH/gw',
      'DBIRTH/gw/chiller',
      'DDATA/gw/chiller',
      'DDEATH/gw/chiller',
    ]) {
      expect(coversAny(publish, `spBv1.0/town/${sent}`), sent).toBe(true);
      expect(coversAny(publish, `spBv1.0/mall/${sent}`), sent).toBe(false);
    }
    for (const command of ['spBv1.0/town/NCMD/gw', 'spBv1.0/STATE/host'])
      expect(coversAny(publish, command)).toBe(false);
    for (const asked of [
      'spBv1.0/town/NCMD/gw',
      'spBv1.0/town/NCMD/gw/#',
      'spBv1.0/town/DCMD/gw/#',
      'spBv1.0/STATE/host',
    ])
      expect(coversAny(read, asked), asked).toBe(true);
    expect(coversAny(read, 'spBv1.0/mall/NCMD/gw')).toBe(false);
  });

  it('has a user that names its site and number, and no other is taken for it', () => {
    expect(gatewayOf(userOf('town-hall', 12))).toEqual({ site: 'town-hall', number: 12 });
    for (const none of ['town-hall', 'town-hall.0', 'town-hall.1.2', '.1', 'coldrounds', 'town hall.1', ''])
      expect(gatewayOf(none), none).toBeNull();
  });
});
