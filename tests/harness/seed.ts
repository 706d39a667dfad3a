import fc from 'fast-check';

/** Property tests draw the same cases on every run; `BUZZOUT_SEED=7 npm test` draws others. */
fc.configureGlobal({ seed: Number(process.env.BUZZOUT_SEED ?? 20_310_504) });
