import { defineConfig } from 'rolldown';

export default defineConfig({
  input: { cli: 'src/cli.ts', index: 'src/index.ts' },
  platform: 'node',
  output: {
    dir: 'dist',
    format: 'esm',
    minify: true,
    cleanDir: true,
    chunkFileNames: 'part-[name]-[hash].js',
  },
});
