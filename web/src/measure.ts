// Metric and US customary, exact factors: 1 in = 25.4 mm (international yard and pound agreement, 1959), 1 US gal =
// 231 in³ = 3.785411784 l (NIST Handbook 44, appendix C).
export type System = 'metric' | 'us';

// Making a formatter costs more than a hundred uses of it (ECMA-402 resolves the locale each time): each is made once.
const formatters = new Map<string, Intl.NumberFormat>();
function formatter(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${locale} ${JSON.stringify(options)}`;
  const known = formatters.get(key);
  if (known) return known;
  const made = new Intl.NumberFormat(locale, options);
  formatters.set(key, made);
  return made;
}

const FT2_PER_M2 = 1 / (0.3048 * 0.3048);
const UM_PER_MIL = 25.4;
const L_PER_QT = 3.785411784 / 4;
const MM_PER_FT = 304.8;
const M3_H_PER_CFM = 0.3048 ** 3 * 60;

export class Measure {
  constructor(
    readonly system: System,
    private readonly locale: string,
  ) {}

  private say(value: number, digits: number): string {
    return formatter(this.locale, { maximumFractionDigits: digits }).format(value);
  }
  // Two figures that count, for small amounts.
  private figures(value: number): string {
    return formatter(this.locale, { maximumSignificantDigits: value < 10 ? 2 : 3 }).format(value);
  }

  area(m2: number): string {
    return this.system === 'us' ? `${this.figures(m2 * FT2_PER_M2)} ft²` : `${this.figures(m2)} m²`;
  }
  wetFilm(um: number): string {
    return this.system === 'us' ? `${this.say(um / UM_PER_MIL, 1)} mil` : `${this.say(um, 0)} µm`;
  }
  temperature(c: number): string {
    return this.system === 'us' ? `${this.say(c * 1.8 + 32, 0)} °F` : `${this.say(c, 0)} °C`;
  }
  // A length on a face: to the sixteenth of an inch, or the millimetre.
  length(mm: number): string {
    if (this.system !== 'us') return `${this.say(Math.round(mm) / 10, 1)} cm`;
    const sixteenths = Math.round((mm / 25.4) * 16);
    const whole = Math.floor(sixteenths / 16);
    let part = sixteenths % 16;
    let of = 16;
    while (part > 0 && part % 2 === 0) {
      part /= 2;
      of /= 2;
    }
    const fraction = part > 0 ? `${part}/${of}` : '';
    return `${[whole > 0 || !fraction ? String(whole) : '', fraction].filter(Boolean).join(' ')} in`;
  }
  // Rounded up: a fan that is a little too strong does no harm.
  airFlow(m3_h: number): string {
    return this.system === 'us' ? `${this.say(Math.ceil(m3_h / M3_H_PER_CFM), 0)} ft³/min` : `${this.say(Math.ceil(m3_h), 0)} m³/h`;
  }
  tape(mm: number): string {
    return this.system === 'us' ? `${this.say(mm / MM_PER_FT, 1)} ft` : `${this.say(mm / 1000, 1)} m`;
  }
  // `l` is turned into quarts, `m` into feet; counted things stay as they are.
  amount(value: number, unit: string): string {
    if (unit === 'l') {
      return this.system === 'us' ? `${this.figures(value / L_PER_QT)} qt` : `${this.figures(value)} l`;
    }
    if (unit === 'm') return this.system === 'us' ? `${this.figures((value * 1000) / MM_PER_FT)} ft` : `${this.figures(value)} m`;
    if (unit === 'yd') return `${this.figures(value)} yd`;
    return this.say(value, 1);
  }
  percent(value: number): string {
    return `${this.say(value, 1)} %`;
  }
  number(value: number, digits = 1): string {
    return this.say(value, digits);
  }
}

// "12.50" and "EUR" in the way of the reader. The digits are never touched: a decimal string is formatted exactly
// (ECMA-402, Number.prototype.toLocaleString on strings), with as many places as it has.
export function money(amount: string, currency: string, locale = ''): string {
  if (amount === '') return '–';
  if (locale !== '' && /^-?\d+(\.\d+)?$/.test(amount)) {
    const places = amount.split('.')[1]?.length ?? 0;
    const digits = { minimumFractionDigits: places, maximumFractionDigits: places };
    try {
      const style = currency === '' ? {} : ({ style: 'currency', currency } as const);
      return formatter(locale, { ...style, ...digits }).format(amount as unknown as number);
    } catch {
      // Not a currency that is known here: as the plan has it.
    }
  }
  return currency === '' ? amount : `${amount} ${currency}`;
}
