import { api } from '../api/client';
import type { CalibrationItem, CalibrationState, CheckedCalibration, Refusal } from '../api/types';
import { withinDocument } from '../model/refusals';
import { store } from './bench.svelte';
import { calibration } from './calibration.svelte';

/** Characters of a file that are sent at all; the service reads a quarter of it, and a calibration has some thousands. */
const mostBytes = 1_048_576;

/** Calibrations on record, and one that comes from a file. */
class CalibrationRecords {
  list = $state.raw<CalibrationItem[]>([]);
  fetched = $state(false);
  busy = $state(false);
  /** Name of the file that is dealt with; empty for none. */
  file = $state('');
  checked = $state.raw<CheckedCalibration | null>(null);
  faults = $state.raw<Refusal[]>([]);
  kept = $state.raw<CalibrationState | null>(null);
  /** The rig is to work on what was kept, at the end of a run if one is under way. */
  toBeUsed = $state(false);

  private text = '';

  async refresh(): Promise<void> {
    const answer = await api.calibrations();
    if (!answer.ok) return;
    this.list = answer.value.calibrations;
    this.fetched = true;
  }

  /** Reads a file and has the service check it. Nothing is kept yet. */
  async check(file: File): Promise<void> {
    this.leave();
    this.file = file.name;
    this.busy = true;
    try {
      if (file.size > mostBytes) {
        this.faults = [{
          code: 'document-too-long', path: '', asked: `the file has ${file.size} bytes`, allowed: `at most ${mostBytes} are read; a calibration has some thousands`,
          remedy: 'Choose a file that was exported here or by sweeprig calibrate export.',
        }];
        return;
      }
      this.text = await file.text();
      const answer = await api.checkCalibration(this.text);
      if (answer.ok) this.checked = answer.value;
      else this.faults = withinDocument(answer.refusals, '/calibration');
    } catch {
      this.faults = [{ code: 'file-unreadable', path: '', asked: `${file.name} cannot be read`, allowed: 'the file must lie where this browser may read it', remedy: 'Choose it again.' }];
    } finally {
      this.busy = false;
    }
  }

  async keep(): Promise<void> {
    this.busy = true;
    try {
      const answer = await api.importCalibration(this.text);
      if (!answer.ok) {
        this.checked = null;
        this.faults = withinDocument(answer.refusals, '/calibration');
        return;
      }
      this.toBeUsed = this.checked?.wouldBeUsed ?? false;
      this.leave();
      this.kept = answer.value;
      await Promise.all([this.refresh(), calibration.refresh(), store.refresh()]);
    } finally {
      this.busy = false;
    }
  }

  leave(): void {
    this.file = '';
    this.text = '';
    this.checked = null;
    this.faults = [];
    this.kept = null;
  }
}

export const records = new CalibrationRecords();
