/** `template` with every `{name}` in it replaced; a name without a value stays as it is. */
export function fill(template: string, values: Readonly<Record<string, string | number>>): string {
  return template.replace(/\{(\w+)\}/g, (whole, name: string) => String(values[name] ?? whole));
}
