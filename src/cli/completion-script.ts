/** The shells that can be told what to complete. */
export const shells = ["bash", "zsh", "fish"] as const;

type Shell = (typeof shells)[number];

export const isShell = (word: string): word is Shell => shells.some((shell) => shell === word);

/** What can stand after `dropwise`. */
export interface CommandWords {
  readonly name: string;
  readonly about: string;
  /** Commands of its own. */
  readonly commands: readonly { readonly name: string; readonly about: string }[];
  readonly options: readonly {
    /** `--pool` */
    readonly name: string;
    readonly about: string;
    readonly takesValue: boolean;
  }[];
}

/** A word that no shell takes apart. */
const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;

/** The script for one shell; what is no command and no option is a file. */
export const completionScript = (shell: Shell, commands: readonly CommandWords[]): string =>
  `${writers[shell](commands).join("\n")}\n`;

const writers: Readonly<Record<Shell, (commands: readonly CommandWords[]) => readonly string[]>> = {
  bash: (commands) => [
    "# Completion of dropwise for bash: source it, or save it under bash-completion's own folder.",
    "_dropwise() {",
    `  local IFS=$'\\n' current="\${COMP_WORDS[COMP_CWORD]}" words="" below=""`,
    `  case "\${COMP_WORDS[1]}" in`,
    ...commands.map(({ name, commands: own, options }) => {
      const words = [...options.map((option) => option.name), "--help"].join(" ");
      return `    ${name}) words=${quoted(words)} below=${quoted(own.map((one) => one.name).join(" "))} ;;`;
    }),
    "  esac",
    `  if [ "$COMP_CWORD" -eq 1 ]; then words=${quoted(
      [...commands.map(({ name }) => name), "--help", "--version", "--quiet", "--language"].join(
        " ",
      ),
    )}`,
    '  elif [ "$COMP_CWORD" -eq 2 ] && [ -n "$below" ]; then words="$below --help"',
    '  elif [[ "$current" != -* ]]; then words=""; fi',
    '  if [ -n "$words" ]; then',
    `    COMPREPLY=($(compgen -W "\${words// /$'\\n'}" -- "$current"))`,
    "  else",
    '    COMPREPLY=($(compgen -f -- "$current"))',
    "  fi",
    "}",
    "complete -o filenames -F _dropwise dropwise",
  ],
  zsh: (commands) => [
    "#compdef dropwise",
    "# Completion of dropwise for zsh: save it as _dropwise in a folder of $fpath, or source it.",
    "_dropwise() {",
    "  local -a commands below",
    `  commands=(${commands.map(described).join(" ")})`,
    "  if (( CURRENT == 2 )); then _describe command commands; return; fi",
    '  case "$words[2]" in',
    ...commands.map(({ name, commands: own, options }) => {
      const all = [...options.map(zshOption), quoted("--help[what it does]")].join(" ");
      const below =
        own.length === 0
          ? ""
          : `if (( CURRENT == 3 )); then below=(${own.map(described).join(" ")}); _describe command below; return; fi; `;
      return `    ${name}) ${below}_arguments ${all} '*:file:_files' ;;`;
    }),
    "  esac",
    "}",
    'if [ "$funcstack[1]" = "_dropwise" ]; then _dropwise "$@"; else compdef _dropwise dropwise; fi',
  ],
  fish: (commands) => [
    "# Completion of dropwise for fish: save it as dropwise.fish among fish's completions.",
    ...commands.flatMap(({ name, about, commands: own, options }) => [
      `complete -c dropwise -n __fish_use_subcommand -f -a ${name} -d ${quoted(about)}`,
      ...own.map(
        (one) =>
          `complete -c dropwise -n ${quoted(`__fish_seen_subcommand_from ${name}`)} -a ${one.name} -d ${quoted(one.about)}`,
      ),
      ...options.map(
        (option) =>
          `complete -c dropwise -n ${quoted(`__fish_seen_subcommand_from ${name}`)} -l ${option.name.slice(2)}` +
          `${option.takesValue ? " -r" : ""} -d ${quoted(option.about)}`,
      ),
    ]),
  ],
};

/** `'check:which connectors ...'`: zsh's own way to say what a word is. */
const described = ({ name, about }: { readonly name: string; readonly about: string }): string =>
  quoted(`${name}:${about.replaceAll(":", "\\:")}`);

function zshOption(option: CommandWords["options"][number]): string {
  const about = option.about.replace(/[[\]\\:]/g, "\\$&");
  return quoted(`${option.name}[${about}]${option.takesValue ? ":value:_files" : ""}`);
}
