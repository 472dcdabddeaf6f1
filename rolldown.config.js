import { defineConfig } from 'rolldown';

// The server's entry, built to plain JavaScript beside the app that it serves. The command line runs from its sources.
export default defineConfig({
  input: { serve: 'src/cli/serve.ts' },
  platform: 'node',
  // The project's own settings extend what SvelteKit generates, which a fresh checkout does not have yet.
  tsconfig: false,
  external: [/^[^./$]/],
  output: { dir: 'build/cli', format: 'esm', entryFileNames: '[name].js', chunkFileNames: 'part-[name].js' },
});
