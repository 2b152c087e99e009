import { stockApi } from '../api/stock';
import type { LotFigures, LotGrades, LotSummary, Pairing, Quantity, Refusal } from '../api/types';
import { emptyGrades, gradesDocument, hasLimit, keepGrades, keptGrades, type GradesForm } from '../model/gradeForm';
import { Asked } from './asked.svelte';

const pause = 350;

/** One lot as a whole: how it is spread, how it falls under grades, how it pairs. */
class LotStore {
  name = $state('');
  /** All that tubes can be graded and matched by. */
  quantities = $state.raw<Quantity[]>([]);
  summary = new Asked<LotSummary>();
  figures = new Asked<LotFigures>();
  grades = new Asked<LotGrades>();
  pairs = new Asked<Pairing>();
  form = $state<GradesForm>(emptyGrades());
  giving = $state(false);
  giveRefusals = $state.raw<Refusal[]>([]);

  private timer: ReturnType<typeof setTimeout> | undefined;

  unitOf = (word: string): string => this.quantities.find((q) => q.word === word)?.unit ?? 'V';

  async learnQuantities(): Promise<void> {
    if (this.quantities.length > 0) return;
    const answer = await stockApi.quantities();
    if (answer.ok) this.quantities = answer.value.quantities;
  }

  async open(name: string): Promise<void> {
    if (this.name !== name) {
      this.name = name;
      for (const asked of [this.summary, this.figures, this.grades, this.pairs]) asked.clear();
      this.form = keptGrades(name) ?? emptyGrades();
      this.preview();
    }
    await this.learnQuantities();
  }

  async look(words: readonly string[]): Promise<void> {
    const name = this.name;
    await Promise.all([this.summary.ask((signal) => stockApi.summary(name, words, signal)), this.figures.ask((signal) => stockApi.figures(name, words, signal))]);
  }

  /** Asks how the lot would fall once typing rests. */
  preview(): void {
    clearTimeout(this.timer);
    keepGrades(this.name, this.form);
    this.giveRefusals = [];
    if (!hasLimit(this.form)) {
      this.grades.clear();
      return;
    }
    const name = this.name;
    this.timer = setTimeout(() => void this.grades.ask(async (signal) => {
      // A limit is written in the unit of its quantity.
      await this.learnQuantities();
      return stockApi.previewGrades(name, gradesDocument(this.form, this.unitOf), signal);
    }), pause);
  }

  /** The grades that are sure, into the history of each tube. */
  async give(): Promise<void> {
    if (this.giving) return;
    this.giving = true;
    const answer = await stockApi.giveGrades(this.name, gradesDocument(this.form, this.unitOf));
    this.giveRefusals = answer.ok ? [] : answer.refusals;
    if (answer.ok) this.grades.value = answer.value;
    this.giving = false;
  }

  async pair(by: readonly string[], worst: boolean): Promise<void> {
    const name = this.name;
    await this.pairs.ask((signal) => stockApi.pairs(name, by, worst, signal));
  }
}

export const lot = new LotStore();
