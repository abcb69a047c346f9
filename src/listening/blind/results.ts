/** What a finished listening test says: sentences first, then every figure behind them. */
import { html, nothing, type TemplateResult } from 'lit';
import type { BlindRecord, PreferenceRecord, Run } from '../../../shared/document/sheet.ts';
import { preferenceResult } from '../../../shared/statistics/preference.ts';
import { words } from '../../words/listening-words.ts';
import { asked } from './asked.ts';
import { blindResult } from './blind-run.ts';

const called = ({ letter, name }: Run['builds'][number]): string => `${letter} ${name}`;

function blindTemplate(run: BlindRecord): TemplateResult {
  const result = blindResult(run.trials);
  const [trial, was, said] = words.trialHead;
  return html`
    <p class="verdict">${words.hits(result)}</p>
    <p>${words.verdict(result)}</p>
    <p class="small soft">${words.probability(result)}</p>
    <div class="scroll" tabindex="0" role="region" aria-label=${words.result}>
      <table>
        <thead><tr><th scope="col">${trial}</th><th scope="col">${was}</th><th scope="col">${said}</th><td></td></tr></thead>
        <tbody>
          ${run.trials.map(
            ({ x, answer }, i) => html`<tr>
              <th scope="row">${i + 1}</th><td>${run.builds[x].letter}</td><td>${run.builds[answer].letter}</td>
              <td>${x === answer ? words.right : words.wrong}</td>
            </tr>`,
          )}
        </tbody>
      </table>
    </div>
  `;
}

function preferenceTemplate(run: PreferenceRecord): TemplateResult {
  const result = preferenceResult(run.builds.length, run.choices);
  return html`
    <p class="verdict">${words.ranking(
      result,
      run.builds.map(b => b.letter),
    )}</p>
    <div class="scroll" tabindex="0" role="region" aria-label=${words.result}>
      <table>
        <thead><tr>${words.rankHead.map(text => html`<th scope="col">${text}</th>`)}</tr></thead>
        <tbody>
          ${result.ranked.map(
            ({ item, place, chosen, offered, againstTop }) => html`<tr>
              <td>${place}</td><th scope="row">${called(run.builds[item])}</th><td>${words.chosen(chosen, offered)}</td>
              <td>${againstTop ? words.over(againstTop.probability, againstTop.interval) : '–'}</td>
            </tr>`,
          )}
        </tbody>
      </table>
    </div>
    <p class="small soft">${words.model}</p>
  `;
}

export interface ResultActions {
  keep: () => void;
  /** Sets up another run. */
  again: () => void;
  /** Answers to whether an unkept result may go. */
  keepFirst: () => void;
  letGo: () => void;
  stay: () => void;
}

export const resultTemplate = (run: Run): TemplateResult =>
  run.kind === 'blind' ? blindTemplate(run) : preferenceTemplate(run);

/** The result with what is done with it; `asking`: whether it may go unkept. */
export const resultView = (run: Run, kept: boolean, asking: boolean, does: ResultActions): TemplateResult => html`
  <div class="body outcome" tabindex="-1" role="group" aria-label=${words.result}>
    ${resultTemplate(run)}
    <div class="row">
      <button class="main" ?disabled=${kept} @click=${does.keep}>${words.keep}</button>
      <button @click=${does.again}>${words.again}</button>
      <p class="small" role="status">${kept ? words.kept : ''}</p>
    </div>
    ${
      asking
        ? asked(
            words.unkeptAsk,
            [words.unkeptKeep, does.keepFirst],
            [words.unkeptLetGo, does.letGo],
            [words.unkeptStay, does.stay],
          )
        : nothing
    }
  </div>`;

/** A kept run in one line. */
export function runLine(run: Run): string {
  const who = run.builds.map(b => b.letter).join(run.kind === 'blind' ? ' or ' : ', ');
  const what =
    run.kind === 'blind'
      ? words.hits(blindResult(run.trials))
      : words.ranking(
          preferenceResult(run.builds.length, run.choices),
          run.builds.map(b => b.letter),
        );
  return words.runLine(run.at.slice(0, 10), who, what);
}
