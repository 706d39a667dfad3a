import type { Connection } from 'vscode-languageserver';
import {
  type FindParams,
  type FindResult,
  findFiles,
  type ReadParams,
  type ReadResult,
  readFile,
  type StatParams,
  type StatResult,
  statFile,
} from '../messages';
import type { Files } from '../workspace/files';
import { wholeLimit } from '../workspace/files';

/** Files through the client, for a server that has no disk: whole ones only. */
export function clientFiles(connection: Connection): Files {
  const ask = <P, R>(method: string, params: P): Promise<R> => connection.sendRequest(method, params) as Promise<R>;
  return {
    ranges: false,
    async stat(uri) {
      const found = await ask<StatParams, StatResult>(statFile, { uri });
      return found ? { kind: found.kind, size: found.size, version: `${found.modified} ${found.size}` } : undefined;
    },
    async find(folder, suffixes) {
      return (await ask<FindParams, FindResult>(findFiles, { folder, suffixes })).uris;
    },
    async read(uri, from = 0, to) {
      const result = await ask<ReadParams, ReadResult>(readFile, { uri, limit: wholeLimit });
      if ('failed' in result) throw new Error(result.message);
      return result.bytes.subarray(from, to ?? result.bytes.length);
    },
  };
}
