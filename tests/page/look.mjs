// Pictures of a page, for a person to look at: node look.mjs PAGE.html FOLDER
import { openBrowser } from "./browser.mjs";
import { pathToFileURL } from "node:url";

const [page_file, folder] = process.argv.slice(2);
const browser = await openBrowser();
for (const [name, width, scheme] of [["1280", 1280, "light"], ["390", 390, "light"], ["dark", 1280, "dark"]]) {
  const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme: scheme });
  page.on("console", message => console.log(message.text()));
  page.on("pageerror", error => console.log(error.message));
  await page.goto(pathToFileURL(page_file).href);
  await page.screenshot({ path: `${folder}/${name}.png`, fullPage: true });
  if (name === "1280") await page.pdf({ path: `${folder}/page.pdf`, preferCSSPageSize: true });
  await page.close();
}
await browser.close();
