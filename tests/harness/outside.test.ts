import { describe, expect, test, vi } from 'vitest';
import { needs } from './needs';
import { outside } from './outside';

describe('what tests lean on outside the project', () => {
  test('an absent program is named with the line that installs it', () => {
    const absent = vi.spyOn(needs.ngspice, 'present').mockReturnValue(false);
    vi.stubEnv('BUZZOUT_REQUIRE_OUTSIDE', '');
    expect(outside.missing('ngspice')).toBe('needs ngspice: npm run setup:outside');
    vi.stubEnv('BUZZOUT_REQUIRE_OUTSIDE', '1');
    expect(() => outside.missing('ngspice')).toThrow('npm run setup:outside');
    absent.mockRestore();
    vi.unstubAllEnvs();
  });

  test('nothing is missing where nothing is asked for', () => {
    expect(outside.missing()).toBe(false);
  });

  test('status, output and errors of a program come back apart', () => {
    const ran = outside.run(
      process.execPath,
      ['-e', 'process.stdin.pipe(process.stdout); console.error("e"); process.exitCode = 3'],
      {
        input: 'µ',
      },
    );
    expect([ran.status, ran.stdout, ran.stderr]).toEqual([3, 'µ', 'e\n']);
    expect([...ran.bytes]).toEqual([0xc2, 0xb5]);
  });

  test('a program that is not there throws', () => {
    expect(() => outside.run('buzzout-no-such-program', [])).toThrow('ENOENT');
  });
});

outside.suite(['scipy'], 'the Python of the reference programs', () => {
  test('answers, and shows its traceback', () => {
    expect(outside.python('import numpy, sys; print(numpy.hypot(3, 4), sys.argv[1])', { args: ['x'] })).toBe('5.0 x\n');
    expect(() => outside.python('import no_such_module')).toThrow('no_such_module');
  });
});
