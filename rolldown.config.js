import { defineConfig } from 'rolldown';
import { catalogue } from './build/catalogue.js';
import { notices } from './build/notices.js';

export default defineConfig({
  input: { cli: 'src/cli.ts', index: 'src/index.ts' },
  platform: 'node',
  preserveEntrySignatures: 'allow-extension',
  plugins: [catalogue, notices],
  output: {
    dir: 'dist',
    format: 'esm',
    minify: true,
    cleanDir: true,
    chunkFileNames: 'part-[name]-[hash].js',
  },
});
