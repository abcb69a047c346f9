/** The plot's figures as a table. */
import { html } from 'lit';
import { words } from '../words/readings-words.ts';
import { type PlotModel, valueAt } from './plot-model.ts';

export function plotTable(model: PlotModel) {
  const main = model.series.filter(one => !one.quiet);
  const reference = main.find(one => one.key === model.reference);
  const compared = model.differenceText && reference ? main.filter(one => one !== reference) : [];
  const text = (value: number) => (Number.isNaN(value) ? '–' : model.yText(value));
  return html`<div class="scroll" role="region" tabindex="0" aria-label=${words.plot.tableOf(model.title)}>
    <table>
      <caption class="reader">${model.title}</caption>
      <thead>
        <tr>
          <th scope="col">${model.x.label}</th>
          ${main.map(one => html`<th scope="col" style=${`color:${one.colour}`}>${one.label}</th>`)}
          ${compared.map(one => html`<th scope="col">${words.plot.difference(one.label, reference!.label)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${model.rows.map(row => {
          const values = new Map(main.map(one => [one, valueAt(one, row.x, model.x.kind)]));
          const base = reference ? values.get(reference)! : Number.NaN;
          return html`<tr>
            <th scope="row">${row.label}</th>
            ${main.map(one => html`<td>${text(values.get(one)!)}</td>`)}
            ${compared.map(one => html`<td>${model.differenceText!(values.get(one)!, base)}</td>`)}
          </tr>`;
        })}
      </tbody>
    </table>
  </div>`;
}
