import { defineConfig } from 'rolldown';

// The command line and the server's entry, built to plain JavaScript: Node starts them without a TypeScript loader.
export default defineConfig({
  input: { kerbside: 'src/cli/kerbside.ts', serve: 'src/cli/serve.ts' },
  platform: 'node',
  // The project's own settings extend what SvelteKit generates, which a fresh checkout does not have yet.
  tsconfig: false,
  external: [/^[^./$]/],
  output: { dir: 'build/cli', format: 'esm', entryFileNames: '[name].js', chunkFileNames: 'part-[name].js' },
});
