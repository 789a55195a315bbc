/**
 * What the page that checks recordings, its Workers and the core say to each other. Texts are final:
 * the page places them and makes no numbers of its own but of bytes and of time that is left.
 */

import type { FromWorker } from "./types";

/** Frames of one file. */
export type Stretch = { file: number; first: number; last: number };

export type ToRecordingWorker =
  | { type: "load"; runtime: string; first: boolean }
  | { type: "rest"; on: boolean }
  | { type: "open"; id: number; files: File[] }
  | { type: "run"; id: number; request: string }
  | { type: "hear"; id: number; request: string }
  /** What is known so far, for `join`; what the finished stretches gave, for `take up`. */
  | { type: "take"; id: number }
  | { type: "keep"; id: number }
  | { type: "join"; id: number; parts: ArrayBuffer[] }
  | { type: "take up"; id: number; parts: ArrayBuffer[] }
  | { type: "check"; id: number; stretch: Stretch };

export type FromRecordingWorker =
  | FromWorker
  | { type: "result"; id: number; text: string; bytes?: ArrayBuffer; samples?: Float32Array }
  | { type: "step"; frames: number; heap: number }
  | { type: "opening"; file: number; of: number }
  | { type: "resting" }
  /** It has checked noise until hardly anything was left to be compiled. */
  | { type: "warm" };

export type OpenedFile = { name: string; format: string; length: string; started: string; faults: string[] };
/** `order`: which of the files that were given is which of those that are checked; `refused`: words. */
export type Opened = {
  ok: true;
  words: string;
  frames: number;
  channels: number;
  order: number[];
  files: OpenedFile[];
  refused: string[];
};
export type Refused = { ok: false; errors: { name: string; message: string }[] };

/** A few short stretches all over, the rest in order, and how many Workers are worth their start. */
export type Plan = { ok: true; sample: Stretch[]; stretches: Stretch[]; workers: number };

/** `at`: the moment to hear. */
export type FindingPlace = { words: string; at: Moment | null };
export type Moment = { file: number; start: number; seconds: number; channel: number | null };
export type Finding = {
  kind: string;
  weight: "spoils" | "harms" | "note";
  weight_words: string;
  sure: string;
  title: string;
  /** Of each channel or file. */
  what: string[];
  where: FindingPlace[];
  causes: string[];
  todo: string[];
  page: string;
};
/** `svg`: for a narrow column, then for a wide one, or one for the width that was asked for. */
export type ReportPicture = { name: string; title: string; svg: string[] };
export type ReportTable = { name: string; title: string; notes: string[]; head: string[]; rows: string[][] };
export type Report = {
  ok: true;
  headline: string;
  level: "good" | "care" | "fail";
  basis: string;
  levels: string;
  findings: Finding[];
  facts: [string, string][];
  pictures: ReportPicture[];
  tables: ReportTable[];
  method: string[];
};

/** What full scale stands for: nothing, a sensitivity as it was typed, or the text of a rig's file. */
export type LevelChoice = { sensitivity: string } | { rig: string } | null;

export type Heard = { ok: true; rate: number; channels: number; words: string };
