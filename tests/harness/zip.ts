import { readFileSync } from 'node:fs';

const endOfDirectory = 0x06054b50;
const directoryEntry = 0x02014b50;

/** The paths and unpacked sizes in bytes of what a ZIP file holds, from its central directory (PKWARE APPNOTE 4.3.12). */
export function zipEntries(path: string): Map<string, number> {
  const bytes = readFileSync(path);
  let end = bytes.length - 22;
  while (end >= 0 && bytes.readUInt32LE(end) !== endOfDirectory) end--;
  if (end < 0) throw new Error(`${path} is no ZIP file`);
  const entries = new Map<string, number>();
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left--) {
    if (bytes.readUInt32LE(at) !== directoryEntry) throw new Error(`${path} has a broken directory`);
    const nameLength = bytes.readUInt16LE(at + 28);
    entries.set(bytes.toString('utf8', at + 46, at + 46 + nameLength), bytes.readUInt32LE(at + 24));
    at += 46 + nameLength + bytes.readUInt16LE(at + 30) + bytes.readUInt16LE(at + 32);
  }
  return entries;
}
