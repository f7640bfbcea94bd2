/** The load-in sheet as lists of words: what each format lays out in its own way. */

export type Sheet = { readonly title: string; readonly lists: readonly List[] };

export type List = {
  /** One word by which machines tell the lists apart. */
  readonly key: string;
  readonly title: string;
  readonly columns: readonly Column[];
  /** A cell for each column; empty where there is nothing to say. */
  readonly rows: readonly (readonly string[])[];
  readonly notes: readonly string[];
};

export type Column = {
  readonly head: string;
  /** What its row is called; where no column says so, it is the first. */
  readonly names?: true;
  /** Stays where it is empty, to be written in by hand. */
  readonly toFill?: true;
  /** On a narrow page it stands under the row, its head before it. */
  readonly under?: true;
};
