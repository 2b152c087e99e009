import type { GateKind, ValueSearch } from '../api/types';
import { trimmed } from './figures';
import { number, ohms } from './planForm';

/** Which tubes the stage is asked about. */
export type TubesOf = 'example' | 'lot' | 'tubes';

/** What is typed on the Logic screen, as it is typed. */
export interface LogicForm {
  gate: string;
  of: TubesOf;
  lot: string;
  /** Numbers with blanks or commas between. */
  tubes: string;
  /** A number for each place of the gate; empty for the example tube. */
  placed: string[];
  connection: 'pentode' | 'triode';
  plateRail: string;
  biasRail: string;
  heater: string;
  plate: string;
  screen: string;
  stopper: string;
  upper: string;
  lower: string;
  cathode: string;
  speedUp: string;
  fanOut: string;
  series: string;
  tolerance: string;
  gridLimit: string;
  plateLimit: string;
  trials: string;
  /** What a map moves beside the plate rail. */
  against: string;
  mapLimit: string;
  meter: string;
}

export const usualForm: LogicForm = {
  gate: 'inverter', of: 'example', lot: '', tubes: '', placed: [], connection: 'pentode', plateRail: '28', biasRail: '-14', heater: '6.3', plate: '10k', screen: '100', stopper: '4.7k',
  upper: '100k', lower: '120k', cathode: '22k', speedUp: '0', fanOut: '1', series: 'E24', tolerance: '5', gridLimit: '100', plateLimit: '0.5', trials: '2000', against: 'screen', mapLimit: '0.1', meter: '10M',
};

type Words = Exclude<keyof LogicForm, 'placed'>;
const words = Object.keys(usualForm).filter((k) => k !== 'placed') as Words[];

/** What stands in the address: only what is not usual, so that a bookmark is short. */
export function formQuery(form: LogicForm): URLSearchParams {
  const query = new URLSearchParams();
  for (const word of words) if (form[word] !== usualForm[word]) query.set(word, form[word]);
  if (form.placed.some((p) => p.trim() !== '')) query.set('placed', form.placed.map((p) => p.trim()).join(','));
  return query;
}

export function formOf(query: URLSearchParams): LogicForm {
  const form: LogicForm = { ...usualForm, placed: query.get('placed')?.split(',') ?? [] };
  for (const word of words) {
    const asked = query.get(word);
    if (asked !== null) (form as Record<Words, string>)[word] = asked;
  }
  if (!['example', 'lot', 'tubes'].includes(form.of)) form.of = 'example';
  if (!['screen', 'bias'].includes(form.against)) form.against = 'screen';
  if (!['pentode', 'triode'].includes(form.connection)) form.connection = 'pentode';
  return form;
}

/** Numbers out of a line of text. */
export const numbers = (text: string): string[] => text.split(/[\s,;]+/).filter((t) => t !== '');

const scaled = (typed: string, by: number): number | string | null => {
  if (typed.trim() === '') return null;
  const value = number(typed);
  return typeof value === 'number' ? value * by : value;
};

/** Rails and values, as a request has them. */
export function circuit(form: LogicForm): object {
  return {
    rails: { plateVolts: number(form.plateRail), biasVolts: number(form.biasRail), heaterVolts: number(form.heater) },
    values: {
      connection: form.connection, plateOhms: ohms(form.plate), screenOhms: ohms(form.screen), stopperOhms: ohms(form.stopper), upperOhms: ohms(form.upper), lowerOhms: ohms(form.lower),
      speedUpPicofarads: number(form.speedUp), cathodeOhms: ohms(form.cathode),
    },
  };
}

const tubesOf = (form: LogicForm): object => (form.of === 'lot' ? { lot: form.lot } : form.of === 'tubes' ? { tubes: numbers(form.tubes) } : {});

export const stageRequest = (form: LogicForm): object => ({ gate: form.gate, ...circuit(form), ...tubesOf(form), fanOut: number(form.fanOut) });

/** A stage of a pair feeds the other at least. */
export const pairRequest = (form: LogicForm): object => ({ ...circuit(form), ...tubesOf(form), fanOut: form.fanOut.trim() === '0' ? 1 : number(form.fanOut), most: 12 });

/** Currents are typed in microamperes; an end that is left empty is no limit. */
export const searchRequest = (form: LogicForm): object => ({
  gate: form.gate, ...circuit(form), ...tubesOf(form), fanOut: form.fanOut.trim() === '0' ? 1 : number(form.fanOut), series: form.series, tolerancePercent: number(form.tolerance),
  limits: { gridAmperes: scaled(form.gridLimit, 1e-6), plateWatts: scaled(form.plateLimit, 1) },
});

export const gateRequest = (form: LogicForm, kind: GateKind): object => ({ gate: form.gate, ...circuit(form), tubes: placesOf(form, kind).map((p) => (p === '' ? null : p)) });

export const yieldRequest = (form: LogicForm, kind: GateKind): object => ({
  ...gateRequest(form, kind), trials: number(form.trials), tolerances: { resistorPercent: number(form.tolerance) },
});

/** @param kept places keep the tubes that they have */
export function chooseRequest(form: LogicForm, kind: GateKind, kept: boolean): object {
  const pinned = kept ? Object.fromEntries(placesOf(form, kind).flatMap((p, i) => (p === '' ? [] : [[kind.positions[i]!, p]]))) : {};
  // Whoever names tubes and keeps others means both.
  const tubes = form.of === 'tubes' ? { tubes: [...new Set([...numbers(form.tubes), ...Object.values(pinned)])] } : tubesOf(form);
  return { gate: form.gate, ...circuit(form), ...tubes, pinned };
}

/** From the lot or the tubes of the stage; with an example tube there, from the whole stock. */
export const sparesRequest = (form: LogicForm, kind: GateKind): object => ({
  ...gateRequest(form, kind), ...(form.of === 'lot' ? { lot: form.lot } : form.of === 'tubes' ? { from: numbers(form.tubes) } : {}),
});

/** @param first numbers in the order in which they are wanted at the empty places */
export const fillRequest = (form: LogicForm, kind: GateKind, first: readonly string[]): object => ({ ...gateRequest(form, kind), first });

export const mapRequest = (form: LogicForm, kind: GateKind): object => ({ ...gateRequest(form, kind), against: form.against, limitVolts: number(form.mapLimit) });

export const voltagesRequest = (form: LogicForm, kind: GateKind): object => ({ ...gateRequest(form, kind), meterOhms: ohms(form.meter) });

/** As many numbers as the gate has places. */
export const placesOf = (form: LogicForm, kind: GateKind): string[] => kind.positions.map((_, i) => (form.placed[i] ?? '').trim());

/** The values that a search found, as they are typed. */
export function withFound(form: LogicForm, found: ValueSearch): LogicForm {
  return { ...form, plate: ohmsTyped(found.values.plateOhms), upper: ohmsTyped(found.values.upperOhms), lower: ohmsTyped(found.values.lowerOhms) };
}

/** The values with which a gate is right on the usual rails, as they are typed. */
export const usualTyped = ({ values }: GateKind) => ({
  plate: ohmsTyped(values.plateOhms), screen: ohmsTyped(values.screenOhms), stopper: ohmsTyped(values.stopperOhms), upper: ohmsTyped(values.upperOhms), lower: ohmsTyped(values.lowerOhms),
});

export const isUsual = (form: LogicForm, kind: GateKind): boolean => Object.entries(usualTyped(kind)).every(([word, text]) => form[word as Words] === text);

/** Another gate without tubes. What was left as is usual for the gate before becomes what is usual for this one; what somebody changed stays. */
export function withGate(form: LogicForm, before: GateKind | null, kind: GateKind): LogicForm {
  const left = before === null ? [] : Object.entries(usualTyped(before)).filter(([word, text]) => form[word as Words] === text).map(([word]) => word);
  const usual = Object.fromEntries(Object.entries(usualTyped(kind)).filter(([word]) => left.includes(word)));
  return { ...form, ...usual, gate: kind.name, placed: [] };
}

/** `4700` as `4.7k`. */
export function ohmsTyped(value: number): string {
  return value >= 1e6 ? `${trimmed(value / 1e6)}M` : value >= 1e3 ? `${trimmed(value / 1e3)}k` : trimmed(value);
}

/** The two tubes of a pair at the places through which a gate holds itself; a tube that stood elsewhere leaves there. */
export function withPair(form: LogicForm, kind: GateKind, first: string, second: string): LogicForm {
  const placed = placesOf(form, kind).map((p) => (p === first || p === second ? '' : p));
  const [a, b] = kind.loop.map((position) => kind.positions.indexOf(position));
  if (a === undefined || b === undefined) return form;
  [placed[a], placed[b]] = [first, second];
  return { ...form, placed };
}
