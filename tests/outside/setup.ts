import { aptInstall } from '../harness/apt';
import { needs } from '../harness/needs';

// `npm run setup:outside`: the reference programs and recordings the tests hold the computation against.
const absent = () =>
  Object.entries(needs).filter(([, need]) => need.setup === 'npm run setup:outside' && !need.present());

const before = absent();
if (before.length === 0) console.log('there already: every reference program and recording');
else aptInstall([...new Set(before.flatMap(([, need]) => need.debian))]);
