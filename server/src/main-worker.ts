import { parentPort } from 'node:worker_threads';
import { diskFiles } from './cli/disk';
import type { FromThread, ToThread } from './lsp/thread';
import { runTask } from './workspace/compute';

// The measuring thread: it reads the disk itself, so that recordings never cross to it.
const say = (message: FromThread) => parentPort?.postMessage(message);

parentPort?.on('message', (message: ToThread) => {
  const { id } = message;
  const calledOff = new Uint8Array(message.calledOff);
  const control = {
    cancelled: () => Atomics.load(calledOff, 0) === 1,
    progress: (progress: number) => say({ id, progress }),
  };
  runTask(message.task, diskFiles, control).then(
    (outcome) => say({ id, outcome }),
    (error: unknown) => say({ id, failed: error instanceof Error ? error.message : String(error) }),
  );
});
