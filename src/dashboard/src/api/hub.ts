import { HttpTransportType, HubConnectionBuilder, LogLevel } from '@microsoft/signalr';
import { MessagePackHubProtocol } from '@microsoft/signalr-protocol-msgpack';
import { backOff } from '../model/backOff';
import { atRig } from './rig';
import type { Bench, Block, PassEnded, RigList, RunEnded, RunStarted } from './types';

export interface Viewer {
  benchChanged(bench: Bench): void;
  runStarted(run: RunStarted): void;
  blockArrived(block: Block): void;
  passEnded(pass: PassEnded): void;
  runEnded(run: RunEnded): void;
  /** The screening round moved on and is to be fetched anew. */
  roundChanged(): void;
  /** The night moved on and is to be fetched anew. */
  nightChanged(): void;
  /** Something about any of the rigs changed; told only where there are several. */
  rigsChanged(rigs: RigList): void;
  /** The hub is reached, for the first time or again: whatever was missed is to be fetched. */
  connected(): void;
  lost(): void;
}

/** The service says something every 2 s, if only that it is there. Milliseconds of silence after which it counts as lost. */
const silence = 6_000;

/** Connects and stays connected: tries again for as long as the page is open. */
export async function watchBench(viewer: Viewer): Promise<void> {
  const connection = new HubConnectionBuilder()
    // No other transport: every browser has WebSockets, and the one that the library falls back on tells late or never of a lost service.
    .withUrl(atRig('/hub/bench'), { transport: HttpTransportType.WebSockets, timeout: silence })
    .withHubProtocol(new MessagePackHubProtocol())
    .withServerTimeout(silence)
    .configureLogging(LogLevel.Error)
    .build();
  connection.on('BenchChanged', (bench: Bench) => viewer.benchChanged(bench));
  connection.on('RunStarted', (run: RunStarted) => viewer.runStarted(run));
  connection.on('BlockArrived', (block: Block) => viewer.blockArrived(block));
  connection.on('PassEnded', (pass: PassEnded) => viewer.passEnded(pass));
  connection.on('RunEnded', (run: RunEnded) => viewer.runEnded(run));
  connection.on('RoundChanged', () => viewer.roundChanged());
  connection.on('NightChanged', () => viewer.nightChanged());
  connection.on('RigsChanged', (rigs: RigList) => viewer.rigsChanged(rigs));
  connection.onclose(() => {
    viewer.lost();
    void start();
  });
  await start();

  async function start(): Promise<void> {
    for (let tries = 0; ; tries++) {
      try {
        await connection.start();
        viewer.connected();
        return;
      } catch {
        if (tries === 0) viewer.lost();
        await new Promise((resolve) => setTimeout(resolve, backOff(tries)));
      }
    }
  }
}
