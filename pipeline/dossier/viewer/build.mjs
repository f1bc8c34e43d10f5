// Bundles the viewer to one classic script, ../viewer.js, and copies three's licence beside it.
//
//   node build.mjs           writes both
//   node build.mjs --check   exits 1 when what is written there is not what would be
import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

/** The script as it must be; three's licence text goes with every copy, so it stands in it. */
async function bundled(licence) {
  const made = await build({
    absWorkingDir: here('.'),
    entryPoints: ['src/main.js'],
    bundle: true,
    minify: true,
    format: 'iife',
    target: ['es2022'],
    charset: 'utf8',
    legalComments: 'none',
    banner: { js: `/*!\nthree.js, a part of this script:\n\n${ascii(licence.trim())}\n*/` },
    write: false,
  });
  const script = made.outputFiles[0].text;
  // in a page it stands between script tags, and these would end it or hide its end
  const unsafe = script.match(/<\/script|<!--/i);
  if (unsafe) throw new Error(`the script holds ${unsafe[0]} and cannot stand in a page`);
  return script;
}

const ascii = (text) => text.replaceAll('\u00a9', '(c)');

const licence = (await readFile(here('node_modules/three/LICENSE'), 'utf8')).replaceAll('\r', '');
const files = { '../viewer.js': await bundled(licence), '../THREE-LICENSE.txt': licence };
if (process.argv.includes('--check')) {
  for (const [path, due] of Object.entries(files)) {
    const found = await readFile(here(path), 'utf8').catch(() => '');
    if (found !== due) {
      console.error(`${path} is not what its sources give: run node build.mjs and commit it`);
      process.exitCode = 1;
    }
  }
} else {
  for (const [path, text] of Object.entries(files)) {
    await writeFile(here(path), text);
    console.log(`${path}: ${text.length} characters`);
  }
}
