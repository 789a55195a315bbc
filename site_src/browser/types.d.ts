/**
 * What Python and the page say to each other, and what the page and its Worker say.
 * The texts in these messages are final: the page places them and never makes numbers.
 */

export type Verdict = { level: "good" | "care" | "fail"; text: string; source: Source | null };
/** The bare key, where the reader of the bibliography has not put the text to it yet. */
export type Source = string | { key: string; text: string };
export type Caution = { title: string; text: string };
export type System = "metric" | "us";

export type ShownWhen = { input: string; is: string[] };
export type UnitView = { unit: string; default_text: string; range_text: string };

export type NumberInput = {
  kind: "number";
  name: string;
  label: string;
  group: string | null;
  hint: string;
  si_unit: string;
  low: number;
  high: number;
  default: number;
  why: string;
  signed: boolean;
  integer: boolean;
  metric: UnitView;
  us: UnitView;
  default_tolerance: string;
  shown_when: ShownWhen | null;
};
export type ChoiceInput = {
  kind: "choice";
  name: string;
  label: string;
  group: string | null;
  hint: string;
  options: { value: string; label: string }[];
  default: string;
  shown_when: ShownWhen | null;
};
/** Rows of measurements as a text; Python reads it. */
export type LogInput = {
  kind: "log";
  name: string;
  label: string;
  group: string | null;
  hint: string;
  si_unit: string;
  default: string;
  accepted: string;
  shown_when: ShownWhen | null;
};
/** A number written in a form of its own, such as a date; Python reads it. */
export type WrittenInput = {
  kind: "day" | "clock" | "zone" | "coordinate";
  name: string;
  label: string;
  group: string | null;
  hint: string;
  si_unit: string;
  default: string;
  accepted: string;
  shown_when: ShownWhen | null;
};
/** The entry of a rig that an input stands for, empty if none. */
type Bound = { rig: string };
export type Input = Bound & (NumberInput | ChoiceInput | LogInput | WrittenInput);

export type Group = {
  name: string;
  label: string;
  most: number;
  add_label: string;
  remove_label: string;
};
export type Formula = {
  id: string;
  title: string;
  tex: string;
  validity: string;
  sources: Source[];
  anchor: string;
};
export type OutputDecl = {
  name: string;
  label: string;
  si_unit: string;
  group: string | null;
  help: string;
};

/** A select above some fields that fills them from a row of a table. */
export type Fill = {
  name: string;
  label: string;
  table: string;
  inputs: string[];
  options: { value: string; label: string }[];
};
export type ExportDecl = { name: string; label: string; file: string };
export type Export = ExportDecl & { text: string };

export type Decl = {
  id: string;
  title: string;
  question: string;
  primary: string;
  groups: Group[];
  inputs: Input[];
  outputs: OutputDecl[];
  formulas: Formula[];
  cautions: Caution[];
  fills: Fill[];
  exports: ExportDecl[];
  page: string;
};

export type BarLabel = { at: number; text: string; kind: "low" | "high" | "nominal" | "limit" };
export type Bar = {
  band: [number, number];
  nominal: number;
  limit: number | null;
  labels: BarLabel[];
};
export type Output = {
  name: string;
  label: string;
  text: string;
  /** The text in two parts: a level's number and its reference, which is empty for others. */
  number: string;
  reference: string;
  /** Empty where low and high cannot be told apart. */
  range_text: string;
  value: number;
  low: number;
  high: number;
  unit: string;
  verdict: Verdict | null;
  bar: Bar | null;
  by: { input: string; label: string; share: number } | null;
};
export type Segment = { text: string; field?: boolean };
export type WorkingStep = {
  label: string;
  formula: string | null;
  anchor?: string;
  lines: Segment[][];
};

export type Axis = { label: string; log: boolean; whole: boolean; domain: [number, number] };
export type PlotSpec = {
  title: string;
  description: string;
  x: Axis;
  y: Axis;
  lines: { name: string; points: [number, number][]; kind: "main" | "second" | "third" }[];
  bands: { points: [number, number, number][] }[];
  marks: { x: number; label: string }[];
  levels: { y: number; label: string; kind: "limit" | "note" }[];
};

/** Lengths in millimetres, y up. */
export type DrawnShape =
  | { shape: "polygon"; points: [number, number][]; kind: string; label: string }
  | { shape: "ellipse"; points: [[number, number]]; rx: number; ry: number; kind: string; label: string }
  | { shape: "segment"; points: [[number, number], [number, number]]; kind: string }
  | { shape: "dimension"; points: [[number, number], [number, number]]; text: string; offset: number }
  | { shape: "label"; points: [[number, number]]; text: string; anchor: "start" | "middle" | "end" };
export type DrawingSpec = { title: string; description: string; shapes: DrawnShape[] };

export type Texts = Record<string, string>;
export type Answer = {
  ok: true;
  calculator: string;
  outputs: Output[];
  shares: Record<string, number>;
  range_method: string;
  working: WorkingStep[];
  cautions: Caution[];
  /** Sentences for what no number says. */
  remarks: string[];
  drawing: DrawingSpec | null;
  plot: PlotSpec | null;
  /** For each fill the row that the fields stand for, empty where they are the reader's own. */
  fills: Record<string, string>;
  exports: Export[];
  link: string;
  solved: { input: string; text: string; message: string } | null;
  fields: Texts;
  tolerances?: Texts;
};
export type FieldError = {
  name: string | null;
  part: "value" | "tolerance" | "target";
  message: string;
  /** Of a file that was refused. */
  line?: number;
};
export type Refusal = { ok: false; errors: FieldError[]; defect?: undefined };
export type Defect = { ok: false; defect: string; errors?: undefined };
export type Notice = { text: string; then: string | null; now: string | null };
export type OpenedLink = {
  ok: true;
  calculator: string;
  fields: Texts;
  tolerances: Texts;
  errors: FieldError[];
  notice: Notice | null;
};
export type Converted = { ok: true; fields: Texts; tolerances: Texts; units: Texts };
export type Filled = { ok: true; fields: Texts; tolerances: Texts };
export type Description = { ok: true; edition: string; format: number; calculators: Decl[] };
export type QrCode = { ok: true; size: number; path: string };

export type SolveRequest = { output: string; target: string; input: string };
export type AnswerRequest = {
  op: "answer";
  calculator: string;
  fields: Texts;
  tolerances: Texts;
  system: System;
  plot: boolean;
  solve: SolveRequest | null;
};
export type Request =
  | { op: "describe" }
  | AnswerRequest
  | { op: "open_link"; hash: string; system: System }
  | { op: "convert"; calculator: string; fields: Texts; tolerances: Texts; system: System }
  | { op: "fill"; calculator: string; fill: string; row: string; system: System }
  | { op: "step"; calculator: string; name: string; text: string; direction: 1 | -1; system: System }
  | { op: "qr"; url: string }
  | { op: "rig_check"; toml: string; system: System; known?: string }
  | { op: "rig_pictures"; toml: string; system: System }
  | {
      op: "rig_fields";
      toml: string;
      system: System;
      /** False leaves out what no edit changes: labels, hints, options. */
      described: boolean;
      known: string;
    }
  | {
      op: "rig_edit";
      toml: string;
      key: string;
      text: string;
      tolerance: string;
      system: System;
      /** The mark of what the page has on show: then only what has changed comes. */
      known: string;
    }
  | { op: "rig_new"; name: string }
  | { op: "rig_rename"; toml: string; name?: string; note?: string; without?: string[] }
  | { op: "rig_link"; toml: string }
  | { op: "rig_open"; hash: string }
  /** The bytes of a file, in base64. */
  | { op: "rig_read"; bytes: string }
  | { op: "rig_ends"; toml: string; system: System }
  /** `which` counts from 0, the costliest first. */
  | { op: "rig_exact"; toml: string; seed: number; draws: number; which: number }
  | { op: "rig_draws"; toml: string; system: System; seed: number; draws: number }
  | { op: "rig_changes"; toml: string; system: System; requirement: string }
  | { op: "rig_sheet"; toml: string; system: System; sheet: string; link: string }
  | { op: "rig_compare"; toml: string; other: string; system: System }
  | { op: "rig_fill"; toml: string; calculator: string; system: System }
  | {
      op: "rig_keep";
      toml: string;
      calculator: string;
      fields: Texts;
      tolerances: Texts;
      system: System;
    };

export type RenderOptions = {
  example?: { name: string; title: string; link: string } | null;
  /** Path from the page to the root of the site, "" or "../". */
  base?: string;
  /** Prefix of every id; give one when a page shows the same calculator twice. */
  id?: string;
  system?: System;
  /** Turns TeX into a MathML element; only the build has one. */
  math?: (tex: string) => Node;
  /** Draw plot and drawing; only the build passes them, the page draws later. */
  plot?: (spec: PlotSpec, id: string) => Node[];
  drawing?: (spec: DrawingSpec, id: string) => Node[];
};

/* Page -> Worker. `needs` names an archive of the runtime that this request wants besides the core. */
export type ToWorker =
  | { type: "load"; runtime: string; first: boolean }
  | { type: "snapshot"; runtime: string }
  | { type: "run"; id: number; request: string; needs: string | null };
/* Worker -> page. A failure without an id is a failed start; a fatal one is the end of Python. */
export type FromWorker =
  | { type: "progress"; milestone: "downloading"; bytes: number }
  | { type: "progress"; milestone: "starting" }
  | { type: "ready"; ms: number }
  | { type: "kept" }
  | { type: "result"; id: number; text: string }
  | { type: "failed"; id: number | null; fatal: boolean; message: string };

export type RuntimeFile = { path: string; bytes: number; sha256: string };
/** `later`: what only the recording check loads; `demo`: the recording that it can be tried on. */
export type RuntimeManifest = {
  hash: string;
  edition: string;
  later: string[];
  demo: string[];
  files: RuntimeFile[];
};
/** Every file that the handbook needs without a network; paths from the root of the site. */
export type OfflineManifest = {
  edition: string;
  runtime: string;
  version: string;
  bytes: number;
  files: RuntimeFile[];
};

/* Page -> service worker, with a port for the reply where there is one. */
export type ToServiceWorker =
  | { type: "SKIP_WAITING" }
  /** Is this file kept, and the one that was published? With `fetch`: get it if not. */
  | { type: "FILE"; file: RuntimeFile; fetch: boolean };
export type FileState = "kept" | "missing" | "damaged" | "unreachable";

/** The last proof that the handbook works offline, as remembered on the device. */
export type Proof = {
  edition: string;
  version: string;
  date: string;
  files: number;
  bytes: number;
  persisted: boolean;
};

/* The rig: one description of everything, as Python answers it. */

export type RigVerdict = "good" | "care" | "fail" | "open";
export type Requirement = {
  /** Calculator and output: names the row. */
  name: string;
  calculator: string;
  title: string;
  level: "good" | "care" | "fail";
  outcome: "fails" | "short" | "unsure" | "holds";
  /** The outcome as a reader sees it. */
  word: string;
  /** Missed, it ends the deployment. */
  ends: boolean;
  margin_text: string;
  limit_range: string;
  link: string;
  /** Labels of inputs that keep the calculator's usual value. */
  usual: string[];
  label: string;
  text: string;
  range_text: string;
  verdict: Verdict & { limit_text: string };
  by: { label: string; share: number } | null;
  bar: Bar | null;
};
export type OpenQuestion = {
  calculator: string;
  title: string;
  state: "not stated" | "refused";
  missing: string[];
  missing_labels: string[];
  refused: string[];
};
/** An entry of a rig as a field. Its name is its key, such as power.supply.1.capacity. */
export type RigEntry = Input & {
  unit: string;
  row: number | null;
  rows: string | null;
  text: string;
  tolerance: string;
  stated: boolean;
  asked: boolean;
  /** Of what is not stated; `entry` names another that holds for it, empty where it is worked out. */
  derived: { calculator: string; entry: string; text: string | null } | null;
  used_by: string[];
};
export type RigRows = { path: string; label: string; count: number; most: number };
export type RigSection = { section: string; title: string; rows: RigRows[]; entries: RigEntry[] };
/** What a rig is worth as it stands. */
export type RigChecked = {
  ok: true;
  name: string;
  note: string;
  without: string[];
  /** Of these calculators, in the same order. */
  without_titles: string[];
  verdict: RigVerdict;
  requirements: Requirement[];
  open: OpenQuestion[];
  /** What ends the deployment, the earliest first. */
  ends: { name: string; text: string }[];
};
/** What there is less what the page has on show: see ``calculators/rig/on_show.py``. */
type Since = { mark: string; since: string };
export type RigNews = RigChecked & Since & { order: string[] };
export type RigFields = { ok: true; sections: RigSection[] } & Since;
/** What there is no drawing of has reasons in what is left out. */
export type RigPictures = Record<string, { title: string; drawing: DrawingSpec | null; left_out: string[] }>;
export type RigPictured = { ok: true; pictures: RigPictures };
export type RigCheck = RigChecked & { sections: RigSection[] };
/** As the build renders it. */
export type RigWhole = RigCheck & RigPictured;
export type RigText = { ok: true; toml: string };
/** A rig that came with a link; a notice where another edition made it. */
export type RigOpened = RigText & { notice: Notice | null };
export type RigEdited = RigNews & RigText;
/** What a rig puts into a calculator's form; null where it has nothing to do with it. */
export type RigFill = {
  ok: true;
  fill: {
    fields: Texts;
    tolerances: Texts;
    derived: Record<string, string>;
    missing: string[];
    refused: { name: string; message: string }[];
  } | null;
};
export type RigChange = { key: string; label: string; before: string; after: string };
export type RigKept = RigText & { changed: RigChange[] };
/** For how long each requirement is met that ends the deployment, the earliest end first. */
export type RigEnds = { ok: true; ends: { label: string; title: string; text: string }[] };
/** What draws say in which one of the costliest tolerances is none; empty where there is none. */
export type RigExact = { ok: true; says: string };
/** What draws over a rig say so far, in sentences. */
export type RigDrawn = { ok: true; draws: number; says: string[]; missed: string[]; costs: string[]; unanswered: string };
export type ComparedSide = { level: "good" | "care" | "fail"; word: string; text: string; margin_text: string };
export type RigComparison = {
  ok: true;
  names: string[];
  entries: { key: string; label: string; texts: string[] }[];
  requirements: {
    label: string;
    change: "better" | "worse" | "same" | "first only" | "second only";
    sides: (ComparedSide | null)[];
  }[];
};
/** Every single change that mends a requirement, the best first; where none does, why not. */
export type RigChanges = {
  ok: true;
  changes: {
    says: string;
    /** The rig stays; less is wanted of it. */
    gives_way: boolean;
    /** The text of each entry, as a file has it. */
    edits: Texts;
    breaks: string[];
    mends: string[];
  }[];
  none: string;
};
/** A sheet of a rig, to be printed. */
export type SheetValue = { label: string; text: string };
export type SheetBlock =
  | { block: "parts"; title: string; parts: { name: string; quantity: SheetValue | null; values: SheetValue[]; unknown: string[] }[] }
  | {
      block: "step";
      title: string;
      page: string;
      cautions: Caution[];
      todo: string[];
      values: SheetValue[];
      tests: string[];
      proof: SheetValue[];
      unknown: string[];
    }
  | { block: "values"; title: string; values: SheetValue[]; blanks: string[] }
  | { block: "ticks"; title: string; cautions: Caution[]; items: string[] }
  | { block: "write"; title: string; fields: string[] }
  | { block: "qr"; qr: boolean; words: string; size: "small" | "large" };
export type RigSheet = {
  ok: true;
  sheet: { name: string; title: string; rig: string; lead: string; blocks: SheetBlock[]; pages: number };
};
