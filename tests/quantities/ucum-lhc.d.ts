/** What the tests use of a library that comes without types. */
declare module '@lhncbc/ucum-lhc' {
  interface UcumAnswer {
    readonly status: 'succeeded' | 'failed' | 'error';
    readonly toVal: number | null;
    readonly msg: readonly string[];
  }
  export class UcumLhcUtils {
    static getInstance(): UcumLhcUtils;
    convertUnitTo(from: string, value: number, to: string): UcumAnswer;
  }
}
