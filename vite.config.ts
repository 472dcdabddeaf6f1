import { sveltekit } from '@sveltejs/kit/vite';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [sveltekit()],
  worker: { format: 'es' },
  test: {
    include: ['src/**/*.test.ts', 'tests/unit/**/*.test.ts', 'tests/hub/**/*.test.ts'],
    environment: 'node',
    testTimeout: 30_000,
    // The modules under test keep no state that a test changes: loading them anew for each of 80 files takes half a minute.
    isolate: false,
  },
});
