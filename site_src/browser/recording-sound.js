/**
 * Plays a moment. The core has made it soft, cut off what no ear hears, and held it below a ceiling;
 * here it only goes to the loudspeaker, one moment at a time.
 */

/** @type {AudioContext | null} */ let context = null;
/** @type {AudioBufferSourceNode | null} */ let playing = null;

/**
 * Browsers let a page sound only after a click; call this in it.
 */
export function allowSound() {
  context ??= new AudioContext();
  void context.resume();
}

/**
 * @param {Float32Array} samples one channel after the other
 * @param {number} channels
 * @param {number} rate
 * @param {() => void} ended
 */
export function play(samples, channels, rate, ended) {
  stop();
  if (!context) return;
  const frames = samples.length / channels;
  const buffer = context.createBuffer(channels, frames, rate);
  for (let n = 0; n < channels; n++) buffer.copyToChannel(new Float32Array(samples.subarray(n * frames, (n + 1) * frames)), n);
  const source = new AudioBufferSourceNode(context, { buffer });
  source.connect(context.destination);
  source.onended = () => {
    if (playing === source) playing = null;
    ended();
  };
  source.start();
  playing = source;
}

export function stop() {
  playing?.stop();
  playing = null;
}
