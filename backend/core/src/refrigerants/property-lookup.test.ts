import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../units/index.js';
import { formatPropertyAnswer, parsePressure, parseTemperature, propertyLookup } from './index.js';

describe('pocket table', () => {
  it('reads pressures and temperatures in the units in use', () => {
    expect(parsePressure('8.57bar')).toEqual({ pressure_Pa: 857000, gauge: false });
    expect(parsePressure('0.857 MPa').pressure_Pa).toBeCloseTo(857000, 6);
    expect(parsePressure('857kPa').pressure_Pa).toBe(857000);
    // 1 psi = 6894.757 Pa (NIST SP 811, appendix B.8).
    expect(Math.abs(parsePressure('100psi').pressure_Pa - 689475.7)).toBeLessThan(0.1);
    expect(Math.abs(parsePressure('100psig').pressure_Pa - 689475.7 - 101325)).toBeLessThan(0.1);
    expect(parsePressure('0barg', 1500)).toMatchObject({ gauge: true });
    expect(parseTemperature('5C')).toBe(278.15);
    expect(parseTemperature('41 °F')).toBeCloseTo(278.15, 9);
    expect(parseTemperature('300K')).toBe(300);
  });

  it('refuses what it cannot read, naming the argument', () => {
    for (const text of ['', 'bar', '5', '5 furlong', '1,5bar', '-1bar']) {
      expect(() => parsePressure(text)).toThrow(ArgumentError);
    }
    expect(() => parseTemperature('5bar')).toThrow(/temperature "5bar": unit must be C, F or K/);
    expect(() => parseTemperature('-300C')).toThrow(/absolute zero/);
    expect(() => propertyLookup({ refrigerant: 'R134a' })).toThrow(/pressure or temperature must be given/);
    expect(() => propertyLookup({ refrigerant: 'R454', pressure: '8bar' })).toThrow(/nearest: R454B/);
  });

  it('gives 6.2 K between bubble and dew point of R407C at 5 bar (COMPUTED, CoolProp 8.0.0)', () => {
    const { bubble, dew, state } = propertyLookup({
      refrigerant: 'R407C',
      pressure: '0.5MPa',
      temperature: '50F',
    });
    expect(Math.abs(bubble.temperature_K - 269.3)).toBeLessThan(0.006);
    expect(Math.abs(dew.temperature_K - 275.51)).toBeLessThan(0.006);
    expect(state).toMatchObject({ phase: 'vapour' });
    expect(Math.abs(state!.superheat_K - (283.15 - 275.51))).toBeLessThan(0.006);
  });

  it('gives both unit systems and the cautions of the refrigerant', () => {
    const text = formatPropertyAnswer(propertyLookup({ refrigerant: 'R454B', pressure: '110psig' })).join(
      '\n',
    );
    expect(text).toMatch(/A2L/);
    expect(text).toMatch(/°C \(.*°F\) at .* bar \(124\.70 psi\) absolute/);
    expect(text).toMatch(/Caution: under pressure, flammable\./);
  });
});
