/** The worst S/B of each part that is to be edited alone. */
import type { Scene } from '../../scene/scene.ts';
import { editableLimit, editableRow } from '../parts/editable.ts';
import type { Gauge } from './gauge.ts';

/** Only parts of which it is asked, since each has all its mics judged anew. */
export function editableGauge(scene: Scene): Gauge {
  const asked = scene.parts.flatMap(({ name }, index) => {
    const limit = editableLimit(scene, index);
    return limit === null ? [] : [{ name, limit, index }];
  });
  return {
    kind: 'editable',
    rows: asked.map(({ name, limit }) => ({ name, limit })),
    limitIs: 'least',
    read: (varied, result) => asked.map(({ index }) => editableRow(varied, result, index).signalToBleed),
  };
}
