import process from 'node:process';

process.stderr.write('kerbside: no command yet\n');
process.exitCode = 2;
