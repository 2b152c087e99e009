import { logicApi } from '../api/logic';
import type { BuildVerdict, TestVoltages } from '../api/types';
import { buildKey, keepReadings, keptReadings, readingKey, readingsOf, withReadings, type Builds, type Readings } from '../model/buildReadings';
import { voltagesRequest } from '../model/logicForm';
import { Asked } from './asked.svelte';
import { Followed } from './followed.svelte';
import { logic } from './logic.svelte';

/** A build on the bench: what a meter is to show, what it did show, and what that means. */
class BuildingStore {
  voltages = new Asked<TestVoltages>();
  verdict = new Followed<BuildVerdict>();
  /** Name of the row that is read. */
  row = $state('');
  /** Why nothing was asked; empty when it was. */
  fault = $state('');

  // By build, for readings are typed by hand: neither a look at another gate nor a reload must cost them.
  private all = $state.raw<Builds>(keptReadings() ?? {});

  get typed(): Readings {
    return this.all[this.build] ?? {};
  }

  private get build(): string {
    return buildKey(logic.kind?.name ?? '', logic.placed);
  }

  async askVoltages(): Promise<void> {
    const kind = logic.kind;
    if (kind === null) return;
    const body = voltagesRequest($state.snapshot(logic.form), kind);
    await this.voltages.ask((signal) => logicApi.testVoltages(body, signal));
    const rows = this.voltages.value?.rows ?? [];
    if (!rows.some((r) => r.name === this.row)) this.row = rows[0]?.name ?? '';
  }

  async askVerdict(): Promise<void> {
    const kind = logic.kind;
    if (kind === null) return;
    const { readings, wrong } = readingsOf(this.typed);
    this.fault = wrong.map((w) => `The reading of ${w.node} with ${w.row} is "${w.text}"; it is a number in volts. Write for example 12.34.`).join(' ');
    if (wrong.length > 0) return;
    const body = { ...voltagesRequest($state.snapshot(logic.form), kind), readings };
    await this.verdict.follow((work, signal) => logicApi.buildCheck(body, work, signal));
  }

  read(node: string, volts: string): void {
    this.keep({ ...this.typed, [readingKey(this.row, node)]: volts });
  }

  /** Takes all readings of the build back. */
  forget(): void {
    this.keep({});
    this.fault = '';
    this.verdict.clear();
  }

  private keep(typed: Readings): void {
    // Another page of this browser may have kept some meanwhile.
    this.all = withReadings(keptReadings() ?? this.all, this.build, typed);
    keepReadings(this.all);
  }
}

export const building = new BuildingStore();
