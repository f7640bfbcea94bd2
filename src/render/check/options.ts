/** How the answer of `check` is shown. What a format has no use for it leaves aside. */
export type CheckOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** Limits that are clearly met are listed, too. */
  readonly all: boolean;
  /** Of this program. */
  readonly version: string;
  readonly started: Date;
};
