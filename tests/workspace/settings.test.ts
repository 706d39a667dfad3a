import { expect, test } from 'vitest';
import { defaultSettings, readSettings } from '../../server/src/workspace/settings';

test('good settings are taken: limits, a library folder on either system, switches', () => {
  const { settings, problems } = readSettings(
    { limits: { 'coupling-corner-high': 20 }, libraryFolder: '/home/a b/sheets', hints: { role: false } },
    defaultSettings,
  );
  expect(problems).toEqual([]);
  expect(settings.limits).toEqual({ 'coupling-corner-high': 20 });
  expect(settings.library).toBe('file:///home/a%20b/sheets/');
  expect(settings.hints).toEqual({ ...defaultSettings.hints, role: false });
  expect(readSettings({ libraryFolder: 'C:\\bench\\sheets' }, defaultSettings).settings.library).toBe(
    'file:///C:/bench/sheets/',
  );
});

test('a bad setting keeps the last good one and says so', () => {
  const last = { ...defaultSettings, limits: { 'coupling-corner-high': 20 }, library: 'file:///x/' };
  const { settings, problems } = readSettings(
    { limits: { 'coupling-corner-high': 'low', 'no-such-check': 3 }, libraryFolder: 'sheets', hints: { role: 'no' } },
    last,
  );
  expect(settings).toEqual(last);
  expect(problems).toHaveLength(4);
});

test('nothing set is the default, whatever was before', () => {
  expect(readSettings(undefined, { ...defaultSettings, limits: { 'hum-present': -50 } }).settings).toEqual(
    defaultSettings,
  );
});
