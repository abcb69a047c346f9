/** Made by the build from `shared/audio/vector`. */
declare module 'virtual:engine-binary' {
  /** Base 64. */
  const binary: string;
  export default binary;
}
