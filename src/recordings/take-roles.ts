/** What each channel of a recording is: a string, several, or nothing. */
import { html, nothing } from 'lit';
import { type ChannelRole, type OwnTake, stringOf } from '../../shared/take/own/own-take.ts';
import { heard } from '../state/page.ts';
import { words } from '../words/recordings-words.ts';
import type { Change } from './take-through.ts';

export function rolesView(take: OwnTake, change: Change) {
  const { strings } = heard.value.instrument;
  const value = (role: ChannelRole) =>
    role.kind === 'string' ? `s${role.string}` : role.kind === 'mixed' ? `m${role.reference}` : role.kind;
  const taken = (number: number, channel: number) =>
    take.roles.some((role, i) => i !== channel && stringOf(role) === number);
  const set = (channel: number, text: string) => {
    const number = Number(text.slice(1));
    const role: ChannelRole =
      text === 'off' || text === 'uncombed'
        ? { kind: text }
        : text[0] === 's'
          ? { kind: 'string', string: number }
          : { kind: 'mixed', reference: number };
    change({ roles: take.roles.map((old, i) => (i === channel ? role : old)) });
  };
  return html`<fieldset>
    <legend>${words.map}</legend>
    <div class="row">
      ${take.roles.map((role, channel) => {
        const options = (letter: 's' | 'm') =>
          strings.map((string, i) => {
            const text = letter === 's' ? words.string(i + 1, string.name) : words.mixed(i + 1, string.name);
            return html`<option
              value="${letter}${i + 1}"
              ?selected=${value(role) === `${letter}${i + 1}`}
              ?disabled=${taken(i + 1, channel)}
            >${text}</option>`;
          });
        return html`<label class="field">
          <span>${words.channel(channel + 1)}, ${words.lowest(take.pitches[channel] ?? null)}</span>
          <select
            data-channel=${channel}
            .value=${value(role)}
            @change=${(event: Event) => set(channel, (event.target as HTMLSelectElement).value)}
          >
            ${options('s')}${options('m')}
            <option value="uncombed" ?selected=${role.kind === 'uncombed'}>${words.uncombed}</option>
            <option value="off" ?selected=${role.kind === 'off'}>${words.off}</option>
          </select>
        </label>`;
      })}
    </div>
    ${take.roles.some(role => role.kind === 'mixed') ? html`<p class="small warn">${words.mixedNote}</p>` : nothing}
    ${take.roles.some(role => role.kind === 'uncombed') ? html`<p class="small warn">${words.uncombedNote}</p>` : nothing}
  </fieldset>`;
}
