/** A small catalogue of round figures, for tests that work areas out by hand. */
import { type Materials, readMaterials, type WrittenMaterial } from '../../src/catalogue/catalogue.ts';

const entry = (parts: Omit<WrittenMaterial, 'group' | 'about' | 'from'>): WrittenMaterial => ({
  group: 'test',
  about: 'test',
  from: [{ of: Object.keys(parts), grade: 'estimate', source: 'test', note: 'round figure' }],
  ...parts,
});

export const materials: Materials = readMaterials({
  finishes: {
    plaster: entry({ absorption: 0.02 }),
    'wood-on-joists': entry({ absorption: 0.1 }),
    curtain: entry({ absorption: 0.5 }),
    rug: entry({ absorption: { 125: 0.1, 500: 0.3 } }),
    'wooden-door': entry({ absorption: 0.08 }),
    'window-glass': entry({ absorption: 0.04 }),
  },
  contents: {
    'person-seated': entry({ each: 0.4 }),
    'person-standing': entry({ each: 0.5 }),
    sofa: entry({ each: 1.5 }),
    seats: entry({ 'per-area': 0.6 }),
  },
  constructions: { brick: entry({ reduction: 50 }), stud: entry({ reduction: 40 }) },
  doors: { solid: entry({ reduction: 30, absorption: 0.1 }) },
  glazings: { single: entry({ reduction: 20, absorption: 0.05 }) },
  panels: { screen: entry({ reduction: 10, absorption: 0.8, 'window-from': 1.1 }) },
  patterns: {},
  sources: {},
});
