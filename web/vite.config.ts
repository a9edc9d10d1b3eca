import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { book } from './build/book.ts';
import { offline } from './build/offline.ts';

export default defineConfig(({ mode }) => ({
  plugins: [svelte(), book(), offline()],
  // The service's content security policy allows nothing inline, so nothing is inlined.
  build: {
    outDir: 'dist',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: 'es2022',
    rolldownOptions: {
      input: { index: 'index.html', worker: 'src/offline/worker.ts' },
      // A service worker rules over the folder it lies in, and its name must stay the same.
      output: { entryFileNames: (chunk) => (chunk.name === 'worker' ? 'worker.js' : 'assets/[name]-[hash].js') },
    },
  },
  server: { proxy: { '/api': 'http://127.0.0.1:8420' } },
  resolve: mode === 'test' ? { conditions: ['browser'] } : {},
  test: { include: ['tests/unit/**/*.test.ts', 'tests/api/**/*.test.ts'], testTimeout: 30_000 },
}));
