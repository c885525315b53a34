import { readFileSync } from "node:fs";
import { posix } from "node:path";
import {
  type ArrowFunctionExpression,
  type Comment,
  type Function as FunctionNode,
  type Node,
  type Program,
  parseSync,
} from "oxc-parser";

/** A number, text or other value that belongs to an export: a parameter or a member. */
export interface Part {
  readonly name: string;
  readonly type: string;
  readonly doc: string;
  readonly isOptional: boolean;
}

/** What a program that imports the package may name. */
export interface Exported {
  readonly name: string;
  readonly kind: "function" | "type" | "value" | "class";
  readonly file: string;
  /** Its comment, without stars. */
  readonly doc: string;
  /** What a reader needs to call or to name it; no body. */
  readonly signature: string;
  readonly parts: readonly Part[];
  /** Of a function: the type that comes back; empty where none is written. */
  readonly returns: string;
  /** It, or what it calls in its own file, has a `throw` or an assertion. */
  readonly throws: boolean;
}

interface Source {
  readonly text: string;
  readonly program: Program;
  readonly comments: readonly Comment[];
}

const sources = new Map<string, Source>();

function sourceOf(file: string): Source {
  const known = sources.get(file);
  if (known !== undefined) return known;
  const text = readFileSync(file, "utf8");
  const { program, comments, errors } = parseSync(file, text);
  if (errors.length > 0) throw new Error(`${file}: ${errors[0]?.message}`);
  const source = { text, program, comments };
  sources.set(file, source);
  return source;
}

/** Lines of a doc comment without their stars. */
export const withoutStars = (comment: string): string =>
  comment
    .replace(/^\*/, "")
    .split("\n")
    .map((line) => line.replace(/^\s*\* ?/, "").trimEnd())
    .join("\n")
    .trim();

/** The doc comment that ends right before a place in the file. */
function docBefore({ text, comments }: Source, start: number): string {
  const before = comments.filter(({ type, value, end }) => {
    if (type !== "Block" || !value.startsWith("*") || end > start) return false;
    return text.slice(end, start).trim() === "";
  });
  return withoutStars(before.at(-1)?.value ?? "");
}

/** The comment that stands first in a file: what the file is for. */
export function fileDoc(file: string): string {
  const first = sourceOf(file).comments.find(({ value }) => value.startsWith("*"));
  return withoutStars(first?.value ?? "");
}

const pathFrom = (file: string, target: string): string =>
  posix.normalize(posix.join(posix.dirname(file), target));

const nameOf = (node: { type: string; name?: string; value?: unknown }): string =>
  node.name ?? String(node.value);

/** Whether any node below has the property, by a walk over all of them. */
function some(node: unknown, is: (node: Node) => boolean): boolean {
  if (typeof node !== "object" || node === null) return false;
  if (Array.isArray(node)) return node.some((one) => some(one, is));
  if ("type" in node && is(node as Node)) return true;
  return Object.values(node).some((one) => some(one, is));
}

const isThrow = (node: Node): boolean =>
  node.type === "ThrowStatement" ||
  (node.type === "CallExpression" &&
    node.callee.type === "Identifier" &&
    /^assert/.test(node.callee.name));

/** The functions of a file, exported or not, by name. */
function functionsOf({ program }: Source): ReadonlyMap<string, Node> {
  const found = new Map<string, Node>();
  for (const one of program.body) {
    const own = one.type === "ExportNamedDeclaration" ? one.declaration : one;
    if (own?.type === "FunctionDeclaration" && own.id) found.set(own.id.name, own);
    if (own?.type !== "VariableDeclaration") continue;
    for (const { id, init } of own.declarations)
      if (id.type === "Identifier" && init) found.set(id.name, init);
  }
  return found;
}

function mayThrow(source: Source, name: string): boolean {
  const all = functionsOf(source);
  const seen = new Set<string>();
  const look = (which: string): boolean => {
    const node = all.get(which);
    if (node === undefined || seen.has(which)) return false;
    seen.add(which);
    return some(
      node,
      (one) => isThrow(one) || (one.type === "Identifier" && one.name !== which && look(one.name)),
    );
  };
  return look(name);
}

const typeText = ({ text }: Source, node: { start: number; end: number } | null | undefined) =>
  node ? text.slice(node.start, node.end).replace(/^:\s*/, "") : "";

/** What a doc comment says of a parameter. */
const saidOf = (doc: string, name: string): string =>
  new RegExp(`@param ${name}\\s+([\\s\\S]*?)(?=\\n@|$)`).exec(doc)?.[1]?.trim() ?? "";

type Callable = ArrowFunctionExpression | FunctionNode;

/** Of a parameter that says its type by its default: a literal, or a figure with a name, `TOLERATED`. */
function typeOfDefault(param: Node): string {
  if (param.type !== "AssignmentPattern") return "";
  const { right } = param;
  if (right.type === "Literal") return typeof right.value;
  return right.type === "Identifier" && /^[A-Z_]+$/.test(right.name) ? "number" : "";
}

function parameters(source: Source, node: Callable, doc: string): readonly Part[] {
  return node.params.map((param): Part => {
    const inner = param.type === "AssignmentPattern" ? param.left : param;
    const annotation = "typeAnnotation" in inner ? inner.typeAnnotation : null;
    const name = inner.type === "Identifier" ? inner.name : "options";
    const isOptional =
      param.type === "AssignmentPattern" || ("optional" in inner && Boolean(inner.optional));
    const type = typeText(source, annotation) || typeOfDefault(param);
    return { name, type, doc: saidOf(doc, name), isOptional };
  });
}

/** Members of an interface, or of an object type. */
function members(source: Source, body: readonly Node[]): readonly Part[] {
  return body.flatMap((member): readonly Part[] => {
    if (member.type !== "TSPropertySignature") return [];
    const { key, typeAnnotation, optional, start } = member;
    return [
      {
        name: nameOf(key as never),
        type: typeText(source, typeAnnotation),
        doc: docBefore(source, start),
        isOptional: optional === true,
      },
    ];
  });
}

type Facts = Pick<Exported, "kind" | "signature" | "parts" | "returns">;

const callable = (source: Source, node: Callable, start: number, doc: string): Facts => ({
  kind: "function",
  signature: source.text
    .slice(start, node.body?.start ?? node.end)
    .replace(/\s*=>\s*$/, "")
    .trim(),
  parts: parameters(source, node, doc),
  returns: typeText(source, node.returnType),
});

const plain = (kind: Facts["kind"], signature: string, parts: readonly Part[] = []): Facts => ({
  ...{ kind, signature, parts, returns: "" },
});

function facts(source: Source, node: Node, name: string, doc: string): Facts {
  const { text } = source;
  switch (node.type) {
    case "FunctionDeclaration":
      return callable(source, node, node.start, doc);
    case "VariableDeclaration": {
      const own = node.declarations.find(({ id }) => id.type === "Identifier" && id.name === name)!;
      if (own.init?.type === "ArrowFunctionExpression")
        return callable(source, own.init, node.start, doc);
      const annotation = own.id.type === "Identifier" ? own.id.typeAnnotation : null;
      const shown = typeText(source, annotation) || text.slice(own.init!.start, own.init!.end);
      return plain("value", `const ${name}: ${shown}`);
    }
    case "TSInterfaceDeclaration": {
      const head = text.slice(node.start, node.body.start).trim();
      return plain("type", head, members(source, node.body.body));
    }
    case "TSTypeAliasDeclaration": {
      const inner = node.typeAnnotation;
      const own = inner.type === "TSTypeLiteral" ? members(source, inner.members) : [];
      return plain("type", text.slice(node.start, node.end).replace(/;$/, ""), own);
    }
    case "ClassDeclaration":
      return plain("class", text.slice(node.start, node.body.start).trim());
    default:
      throw new Error(`${name}: a ${node.type} can't be shown`);
  }
}

const declares = (node: Node, name: string): boolean =>
  node.type === "VariableDeclaration"
    ? node.declarations.some(({ id }) => id.type === "Identifier" && id.name === name)
    : "id" in node && node.id?.type === "Identifier" && node.id.name === name;

/** One export of a file, wherever it is declared. */
function find(file: string, name: string): Exported {
  const source = sourceOf(file);
  for (const node of source.program.body) {
    if (node.type !== "ExportNamedDeclaration") continue;
    if (node.declaration && declares(node.declaration, name)) {
      const doc = docBefore(source, node.start);
      const own = facts(source, node.declaration, name, doc);
      return { name, file, doc, throws: own.kind === "function" && mayThrow(source, name), ...own };
    }
    const through = node.specifiers.find(({ exported }) => nameOf(exported as never) === name);
    if (through && node.source)
      return find(pathFrom(file, node.source.value), nameOf(through.local as never));
  }
  throw new Error(`${file} exports no ${name}`);
}

/** All names that a file exports. */
function namesOf(
  file: string,
  typesOnly = false,
): readonly (readonly [file: string, name: string, typesOnly: boolean])[] {
  return sourceOf(file).program.body.flatMap((node) => {
    if (node.type === "ExportAllDeclaration")
      return namesOf(pathFrom(file, node.source.value), node.exportKind === "type");
    if (node.type !== "ExportNamedDeclaration") return [];
    const own = node.declaration;
    const declared =
      own?.type === "VariableDeclaration"
        ? own.declarations.flatMap(({ id }) => (id.type === "Identifier" ? [id.name] : []))
        : own && "id" in own && own.id?.type === "Identifier"
          ? [own.id.name]
          : [];
    const through = node.specifiers.map(({ exported }) => nameOf(exported as never));
    return [...declared, ...through].map((name) => [file, name, typesOnly] as const);
  });
}

/** Everything that an entry of the package exports, types first where the file has them first. */
export const exportsOf = (file: string): readonly Exported[] =>
  namesOf(file).flatMap(([where, name, typesOnly]) => {
    const one = find(where, name);
    return typesOnly && one.kind !== "type" ? [] : [one];
  });

/** A type of the project that a file names without its being exported by any entry; null: none of ours. */
export function namedIn(file: string, name: string): Exported | null {
  for (const node of sourceOf(file).program.body) {
    if (node.type === "ImportDeclaration") {
      const own = node.specifiers.find(({ local }) => local.name === name);
      if (own === undefined || !node.source.value.startsWith(".")) continue;
      const imported = "imported" in own ? nameOf(own.imported as never) : name;
      return find(pathFrom(file, node.source.value), imported);
    }
    const declared = node.type === "ExportNamedDeclaration" ? node.declaration : null;
    if (declared && declares(declared, name)) return find(file, name);
  }
  return null;
}
