/** `spillcheck schema`: the plan format as JSON Schema, for editors. */
import { planJsonSchema } from '../plan/json-schema/plan-json-schema.ts';
import { jsonText } from '../render/json-text.ts';
import { shelvesOf } from '../scene/catalogue-shelves.ts';
import { shippedCatalogue } from '../shipped.ts';
import { deliver } from './deliver.ts';

export type SchemaOptions = { readonly output: string };

/** Exit code: 0 done, 2 not written. */
export const schema = ({ output }: SchemaOptions): Promise<0 | 2> =>
  deliver(`${jsonText(planJsonSchema(shelvesOf(shippedCatalogue())), 1)}\n`, output);
