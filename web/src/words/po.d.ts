declare module '*.po' {
  const pairs: [english: string, other: string][];
  export default pairs;
}
