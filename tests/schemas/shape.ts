/** The shapes of JSON that ship, each able to name parts of the others. */
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv, type ValidateFunction } from 'ajv';

const FOLDER = new URL('../../shared/schemas/', import.meta.url);

/** Of `report.schema.json` and the like. */
export function shapeOf(name: string): ValidateFunction {
  const ajv = new Ajv({ allErrors: true, allowUnionTypes: true });
  for (const file of readdirSync(FOLDER)) {
    ajv.addSchema(JSON.parse(readFileSync(new URL(file, FOLDER), 'utf8')), file);
  }
  const validate = ajv.getSchema(name);
  if (!validate) throw new Error(`no schema ${name}`);
  return validate as ValidateFunction;
}
