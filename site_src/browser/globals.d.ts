/** Constants that the bundler puts in. */
declare const __WORKER__: string;
declare const __RECORDING_WORKER__: string;
declare const __LIBFLAC__: { heapEnd: number; heapStart: number };
declare const __POLICY__: string;
declare const __EDITION__: string;
declare const __RUNTIME__: string;
/** Workbox writes the list of the edition's files in its place. */
declare const __WB_MANIFEST: { url: string; revision: string | null }[];

/** The address of the file in the site. */
declare module "*.wasm" {
  const address: string;
  export default address;
}
