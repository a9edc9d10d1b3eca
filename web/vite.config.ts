import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig(({ mode }) => ({
  plugins: [svelte()],
  // The service's content security policy allows nothing inline, so nothing is inlined.
  build: { outDir: 'dist', assetsInlineLimit: 0, modulePreload: { polyfill: false }, target: 'es2022' },
  server: { proxy: { '/api': 'http://127.0.0.1:8420' } },
  resolve: mode === 'test' ? { conditions: ['browser'] } : {},
  test: { include: ['tests/unit/**/*.test.ts', 'tests/api/**/*.test.ts'], testTimeout: 30_000 },
}));
