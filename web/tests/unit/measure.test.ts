import { describe, expect, it } from 'vitest';
import { Measure, money } from '../../src/measure';

const metric = new Measure('metric', 'en-US');
const us = new Measure('us', 'en-US');

describe('measures', () => {
  // NIST Special Publication 811, appendix B: 1 ft² = 0.09290304 m², 1 mil = 25.4 µm, 1 US liquid quart = 0.9463529 l.
  it('agree with the NIST factors', () => {
    expect(us.area(0.9290304)).toBe('10 ft²');
    expect(us.wetFilm(25.4 * 4)).toBe('4 mil');
    expect(us.amount(0.9463529, 'l')).toBe('1 qt');
    expect(us.temperature(20)).toBe('68 °F');
    expect(us.tape(3048)).toBe('10 ft');
    expect(us.amount(3.048, 'm')).toBe('10 ft');
  });
  it('stay metric when asked', () => {
    expect(metric.area(0.62)).toBe('0.62 m²');
    expect(metric.wetFilm(38.4)).toBe('38 µm');
    expect(metric.amount(0.25, 'l')).toBe('0.25 l');
    expect(metric.temperature(18.4)).toBe('18 °C');
    expect(metric.tape(1830)).toBe('1.8 m');
    expect(metric.amount(6, 'sheet')).toBe('6');
  });
  it('never touch the digits of money', () => {
    expect(money('319.79', 'EUR')).toBe('319.79 EUR');
    expect(money('0.10', '')).toBe('0.10');
    expect(money('', 'EUR')).toBe('–');
  });
});
