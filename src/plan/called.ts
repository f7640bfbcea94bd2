/** What goes by a name, and what else people call it: as they would say it, "upright bass". */
export type Called = { readonly name: string; readonly also: readonly string[] };
