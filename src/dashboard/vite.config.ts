import { svelte } from '@sveltejs/vite-plugin-svelte';
import { loadEnv } from 'vite';
import { defineConfig } from 'vitest/config';

const service = loadEnv('development', '.', 'SWEEPRIG_')['SWEEPRIG_URL'] ?? 'http://127.0.0.1:5240';

export default defineConfig({
  plugins: [svelte()],
  build: { outDir: 'dist', target: 'es2022', sourcemap: false },
  server: {
    host: '127.0.0.1',
    // The service checks Host and Origin, so that a proxied request has to look like one of its own page.
    proxy: {
      '/api': { target: service, changeOrigin: true, headers: { origin: service } },
      '/hub': { target: service, changeOrigin: true, ws: true, headers: { origin: service } },
    },
  },
  test: { include: ['tests/**/*.test.ts'], environment: 'node' },
});
