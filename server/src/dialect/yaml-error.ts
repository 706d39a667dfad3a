import type { ErrorCode } from 'yaml';

/** What the parser finds wrong, in words of our own. The scan before it has already caught what people usually get wrong. */
const sayings: Readonly<Record<string, string>> = {
  ALIAS_PROPS: 'A repeat cannot be named or typed itself.',
  BAD_ALIAS: 'A name for a repeat is cut off here.',
  BAD_DIRECTIVE: 'This directive is not known.',
  BAD_DQ_ESCAPE:
    'Between double quotes a backslash starts an escape, and this is none. Use single quotes, or write two backslashes.',
  BAD_INDENT: 'This is not indented as its surroundings ask.',
  BAD_SCALAR_START: 'A text may not start with this sign: put it in quotes.',
  BLOCK_AS_IMPLICIT_KEY: 'A list or map cannot start here: begin it on a line of its own.',
  BLOCK_IN_FLOW: 'A comma or a closing bracket is missing here.',
  KEY_OVER_1024_CHARS: 'This key is too long.',
  MISSING_CHAR: 'Something is missing here: a colon, a quote or a bracket.',
  MULTILINE_IMPLICIT_KEY: 'A key stands on one line, its colon with it.',
  MULTIPLE_ANCHORS: 'A value has one name at most.',
  MULTIPLE_TAGS: 'A value has one type at most.',
  RESOURCE_EXHAUSTION: 'This is nested too deep to be read.',
  TAB_AS_INDENT: 'Lines are indented with spaces, not with tabs.',
};

/** A sentence for an error of the parser, by its code. */
export const sayError = (code: ErrorCode): string =>
  sayings[code] ?? 'This cannot be read here: a sign too many, or one missing.';
